#!/usr/bin/env python3
"""How the time of each command grows with pixels, cloths, pieces and makers: processor seconds of the program, as
multiples of one reference that is run in turn with it (djpeg decoding a 12-megapixel photo), least of a few rounds.

usage: growth.py BACKCLOTH [TABLE.md PLOT.svg]   without files, the table goes to standard output"""
import json, math, os, shutil, subprocess, sys, tempfile

program = os.path.abspath(sys.argv[1])
demo = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../assets/demo")
folder = tempfile.mkdtemp(prefix="growth")
ROUNDS = int(os.environ.get("ROUNDS", "3"))
environment = {**os.environ, "XDG_CACHE_HOME": f"{folder}/cache", "LC_ALL": "C.UTF-8", "LANGUAGE": "en"}


def cost(words):
    """Processor seconds of a run, its children included."""
    with open(os.devnull, "w") as nothing:
        child = subprocess.Popen(words, stdout=nothing, stderr=nothing, env=environment, cwd=folder)
        _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1):
        sys.exit(f"{' '.join(words)[:200]}: exit {child.returncode}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def measure(words, before=None):
    """(multiples of the reference, MiB) of a run."""
    ours = reference = math.inf
    for _ in range(ROUNDS):
        if before:
            before()
        seconds, memory = cost(words)
        ours = min(ours, seconds)
        reference = min(reference, cost(["djpeg", "-outfile", os.devnull, "12.jpg"])[0])
    return ours / reference, memory


def photo(megapixels):
    name = f"{folder}/{megapixels}.jpg"
    side = round(math.sqrt(megapixels * 1e6 * 3 / 4))
    subprocess.run(["convert", f"{demo}/photos/bowl.jpg", "-resize", f"{side * 4 // 3}x{side}!", "-quality", "90", name], check=True)
    return f"{megapixels}.jpg"


def cloths(count):
    listed = [{"colour": "#%06x" % (i * 7919 * 131 % 0x1000000)} for i in range(count)]
    json.dump({"cloths": listed}, open(f"{folder}/cloths{count}.json", "w"))
    return f"cloths{count}.json"


def plan(count, placed, photos=False):
    """A wall that grows with its pieces, so that the density stays."""
    across = max(4, round(math.sqrt(count * 2)))
    name = f"plan{count}{'p' if placed else 'f'}{'x' if photos else ''}.json"
    files = sorted(os.listdir(f"{demo}/photos"))
    pieces = []
    for i in range(count):
        piece = {"id": f"p{i}", "width": 12 + i % 5, "height": 14 + i % 7, "weight_g": 200 + 10 * (i % 9),
                 "mount": {"kind": "hook", "points": 1, "rated_kg": 5}}
        if placed:
            piece["at"] = [20 + 26 * (i % across), 30 + 26 * (i // across)]
        if photos:
            piece["photo"] = f"{demo}/photos/{files[i % len(files)]}"
        pieces.append(piece)
    wall = {"width": max(300, 26 * across + 40), "wall_height": max(240, 26 * (count // across + 2) + 40)}
    json.dump({"backcloth": 1, "title": "Growth", "stand": wall, "cloth": {"colour": "#22432f"}, "pieces": pieces},
              open(f"{folder}/{name}", "w"))
    return name


def makers(count, photos=4):
    """Copies of the demo's photos that differ in a byte behind the picture."""
    files = [f for f in sorted(os.listdir(f"{demo}/photos")) if f.endswith(".jpg")]
    names = []
    for i in range(count):
        name = f"{folder}/makers{count}/m{i:03}"
        os.makedirs(name)
        for k in range(photos):
            with open(f"{demo}/photos/{files[(i + k) % len(files)]}", "rb") as source:
                open(f"{name}/{k}.jpg", "wb").write(source.read() + b"%d %d" % (i, count))
        names.append(name)
    return names


def forget(*paths):
    for path in paths:
        shutil.rmtree(f"{folder}/{path}", ignore_errors=True)


def subjects():
    """(what grows, command, count, words, before a run)"""
    for size in (3, 12, 48):
        name = photo(size)
        yield "megapixels", "read", size, ["read", "--trust", "--no-store", name], None
        yield "megapixels", "read, kept", size, ["read", "--trust", name], None
    readings = subprocess.run([program, "read", "--trust", "--stored", *[f"{demo}/photos/{f}" for f in sorted(os.listdir(f"{demo}/photos"))]],
                              stdout=subprocess.PIPE, env=environment, check=True).stdout.splitlines(keepends=True)
    open(f"{folder}/readings", "wb").writelines((readings * 3)[:50])
    for count in (100, 400, 1600):
        yield "cloths, 50 pieces", "match", count, ["match", "--readings", "readings", "--cloths", cloths(count)], None
    for count in (5, 20):
        open(f"{folder}/readings{count}", "wb").writelines((readings * 3)[:count])
        yield "pieces", "match --suggest", count, ["match", "--readings", f"readings{count}", "--cloth", "white", "--suggest", "3"], None
    for count in (500, 1000, 2000):
        yield "pieces", "plan check", count, ["plan", "check", plan(count, True)], None
    for count in (20, 60):
        yield "pieces", "arrange", count, ["arrange", plan(count, False), "-o", "out.json"], None
    for count in (10, 40, 100):
        yield "pieces", "elevation, kept", count, ["elevation", "--trust", plan(count, True, True), "-o", "wall.png", "--pixels-per-cm", "1"], None
    for count in (1, 2, 4):
        names = makers(count)
        words = ["feedback", "--trust", *names, "-o", f"sheets{count}", "--cloths", cloths(15), "--jobs", "1"]
        yield "makers of 4 photos", "feedback", count, words, lambda count=count: forget(f"sheets{count}", "cache")
        yield "makers of 4 photos", "feedback again", count, words, None


def write_table(rows, to):
    print("| grows | command | count | times the reference | grows by the power | MiB |", file=to)
    print("| --- | --- | --- | --- | --- | --- |", file=to)
    last = {}
    for grows, command, count, times, memory in rows:
        power = ""
        if command in last:
            power = "%.2f" % (math.log(times / last[command][1]) / math.log(count / last[command][0]))
        last[command] = (count, times)
        print(f"| {grows} | {command} | {count} | {times:.2f} | {power} | {memory:.0f} |", file=to)


DASHES = ["", "6 3", "2 3", "9 3 2 3", "4 2 1 2"]


def write_plot(rows, path):
    """Both axes in tens; lines told apart by dashes and by their names at the end, not by colour."""
    lines = {}
    for grows, command, count, times, _ in rows:
        lines.setdefault(command, []).append((math.log10(count), math.log10(times)))
    low_x, high_x = 0, math.ceil(max(x for l in lines.values() for x, _ in l))
    low_y, high_y = (f(y for l in lines.values() for _, y in l) for f in (min, max))
    low_y, high_y = math.floor(low_y), math.ceil(high_y)
    x_of = lambda x: 60 + 560 * (x - low_x) / (high_x - low_x)
    y_of = lambda y: 420 - 390 * (y - low_y) / (high_y - low_y)
    with open(path, "w") as to:
        to.write('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 760 470" font-family="sans-serif" font-size="11">\n'
                 '<rect width="760" height="470" fill="#fff"/>\n')
        for x in range(low_x, high_x + 1):
            to.write(f'<path d="M{x_of(x):.1f} 30V420" stroke="#ddd"/><text x="{x_of(x):.1f}" y="436" text-anchor="middle">{10 ** x:,}</text>\n')
        for y in range(low_y, high_y + 1):
            to.write(f'<path d="M60 {y_of(y):.1f}H620" stroke="#ddd"/><text x="54" y="{y_of(y) + 4:.1f}" text-anchor="end">{10.0 ** y:g}</text>\n')
        to.write('<text x="340" y="458" text-anchor="middle">megapixels, cloths, pieces or makers</text>\n'
                 '<text x="60" y="20">processor time, as multiples of djpeg decoding 12 megapixels</text>\n')
        ends = []
        for i, (command, points) in enumerate(lines.items()):
            way = "L".join(f"{x_of(x):.1f} {y_of(y):.1f}" for x, y in points)
            to.write(f'<path d="M{way}" fill="none" stroke="#111" stroke-width="1.4" stroke-dasharray="{DASHES[i % len(DASHES)]}"/>\n')
            at = y_of(points[-1][1]) + 4
            while any(abs(at - e[0]) < 12 and abs(x_of(points[-1][0]) - e[1]) < 130 for e in ends):
                at += 3
            ends.append((at, x_of(points[-1][0])))
            to.write(f'<text x="{x_of(points[-1][0]) + 5:.1f}" y="{at:.1f}">{command}</text>\n')
        to.write("</svg>\n")


def main():
    photo(12)
    rows = []
    try:
        for grows, command, count, words, before in subjects():
            if command.endswith((", kept", " again")):
                cost([program, *words]) # so that there is something to find
            times, memory = measure([program, *words], before)
            rows.append((grows, command, count, times, memory))
            print(f"{command} {count}: {times:.2f}, {memory:.0f} MiB", file=sys.stderr, flush=True)
    finally:
        shutil.rmtree(folder)
    if len(sys.argv) > 3:
        with open(sys.argv[2], "w") as to:
            write_table(rows, to)
        write_plot(rows, sys.argv[3])
    else:
        write_table(rows, sys.stdout)


main()
