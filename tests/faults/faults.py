#!/usr/bin/env python3
"""Each allocation, or each call that writes, fails once, in turn (fail.c, preloaded). A run may end as it would have
ended, byte for byte; or say that there is no memory (70), or that something cannot be written (73), and leave what was
there as it was. It never crashes in our code, never answers otherwise, never blames the input.

usage: faults.py allocations|calls [all|places|N] [NAME…]   all: each one; places: each place of the code once;
                                                           N: so many places, spread evenly
environment: BACKCLOTH, FAIL (the preloaded library), SOURCE"""
import os, queue, re, shutil, signal, subprocess, sys, tempfile
from concurrent.futures import ThreadPoolExecutor

what, much = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else "places"
named = sys.argv[3:]
program, library, source = os.environ["BACKCLOTH"], os.environ["FAIL"], os.environ["SOURCE"]
demo, here = os.path.join(source, "assets/demo"), os.path.dirname(os.path.abspath(__file__))
OUR_FAULT, CANNOT_WRITE = 70, 73
core_of = {} # folder: the one core of its runs, so that there are as many threads, and as many calls, in each

# name: words, output (or None). @ is the run's own folder.
CASES = {
    "loads": (["loads", "@/plan.json"], None),
    "loads-json": (["loads", "@/plan.json", "--json"], None),
    "loads-csv": (["loads", "@/plan.json", "--csv"], None),
    "check": (["plan", "check", "@/plan.json"], None),
    "packing": (["packing", "@/plan.json"], None),
    "packing-json": (["packing", "@/plan.json", "--json"], None),
    "packing-csv": (["packing", "@/plan.json", "--csv"], None),
    "arrange": (["arrange", "@/small.json", "-o", "@/out.json"], "out.json"),
    "arrange-json": (["arrange", "@/small.json", "--json"], None),
    "groups": (["arrange", "@/small.json", "--group-by", "material", "-o", "@/out.json"], "out.json"),
    "sold": (["plan", "sold", "bowl", "@/plan.json", "-o", "@/out.json"], "out.json"),
    "start": (["plan", "start", "@/photos", "-o", "@/new.json"], "new.json"),
    "read": (["read", "@/photo.png", "--mask-out", "@/out.png"], "out.png"),
    "read-json": (["read", "@/photo.png", "--json"], None),
    "read-found": (["read", "@/photo.jpg", "--json"], None),
    "read-jpeg": (["read", "@/photo.jpg", "--stored"], None),
    "match": (["match", "@/photo.png", "--cloth", "#1f2430", "--cloth", "photo:@/cloth.jpg", "--suggest", "1"], None),
    "match-json": (["match", "--readings", "@/readings", "--cloth", "white", "--cloth", "#1f2430", "--json"], None),
    "board": (["match", "@/photo.png", "--cloth", "white", "--cloth", "black", "-o", "@/out.png"], "out.png"),
    "elevation": (["elevation", "@/small.json", "-o", "@/out.png", "--pixels-per-cm", "1"], "out.png"),
    "elevation-svg": (["elevation", "@/small.json", "-o", "@/out.svg"], "out.svg"),
    "aisle-json": (["elevation", "@/small.json", "--json"], None),
    "sheet": (["sheet", "@/small.json", "-o", "@/out.pdf"], "out.pdf"),
    "feedback": (["feedback", "@/maker", "-o", "@/fed", "--jobs", "1", "--cloths", "@/cloths.json", "--json"], "fed/makers.csv"),
}
OPENS_PHOTOS = ("read", "match", "arrange", "elevation", "sheet", "feedback")
SETS = {
    "allocations": [name for name in CASES if name not in ("feedback", "start", "sold")],
    "calls": [name for name in CASES if CASES[name][1]] + ["read-found", "read-jpeg"] + ["loads", "loads-json", "check", "packing", "read-json"],
}


def material(folder):
    """Small inputs, so that thousands of runs take seconds."""
    import json
    size = ["-resize", "160x160"]
    subprocess.run(["convert", f"{demo}/photos/ring.jpg", *size, f"{folder}/photo.png"], check=True)
    subprocess.run(["convert", f"{demo}/photos/ring.jpg", *size, f"{folder}/photo.jpg"], check=True)
    subprocess.run(["convert", f"{demo}/cloths/twill.jpg", *size, f"{folder}/cloth.jpg"], check=True)
    plan = json.load(open(f"{demo}/plan.json"))
    for piece in plan["pieces"]:
        piece.pop("photo", None)
    if "photo" in plan.get("cloth", {}):
        plan["cloth"] = {**{k: v for k, v in plan["cloth"].items() if k != "photo"}, "colour": "#22432f"}
    json.dump(plan, open(f"{folder}/plan.json", "w"))
    kept = plan["pieces"][:4]
    for piece in kept[2:]:
        piece.pop("at", None)
    json.dump({**plan, "pieces": kept}, open(f"{folder}/small.json", "w"))
    json.dump({"cloths": [{"name": "Ink", "colour": "#1f2430"}]}, open(f"{folder}/cloths.json", "w"))
    for name in ("photos", "maker"):
        os.mkdir(f"{folder}/{name}")
        shutil.copy(f"{folder}/photo.png", f"{folder}/{name}/ring.png")
    with open(f"{folder}/readings", "wb") as out:
        out.write(subprocess.run([program, "read", f"{folder}/photo.png", "--stored"], stdout=subprocess.PIPE, check=True).stdout)


def run(name, folder, **environment):
    words, output = CASES[name]
    words = words + (["--trust"] if words[0] in OPENS_PHOTOS else []) # in one process, so that the count is the same
    kept = os.path.join(folder, output) if output else None
    before = b"what was there\n" if output and name != "start" and "/" not in output else None
    if "fed" in (output or ""):
        shutil.rmtree(f"{folder}/fed", ignore_errors=True)
    elif kept and before is None and os.path.exists(kept):
        os.remove(kept)
    if before:
        with open(kept, "wb") as out:
            out.write(before)
    if not name.endswith("-found"): # the store is empty, so that the count is the same; or full, from the run before
        shutil.rmtree(f"{folder}/cache", ignore_errors=True)
    done = subprocess.run([program] + [w.replace("@", folder) for w in words], stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=120,
                          preexec_fn=lambda: os.sched_setaffinity(0, {core_of[folder]}),
                          env={**os.environ, "LD_PRELOAD": library, "LC_ALL": "C.UTF-8", "LANGUAGE": "en",
                               "SOURCE_DATE_EPOCH": "0", "XDG_CACHE_HOME": f"{folder}/cache", "ASAN_OPTIONS": "verify_asan_link_order=0", **environment})
    made = open(kept, "rb").read() if kept and os.path.exists(kept) else None
    left = [f for f in os.listdir(folder) if re.search(r"\.(json|png|pdf|svg)\.[A-Za-z0-9]{6}$", f)]
    for file in left:
        os.remove(os.path.join(folder, file))
    return done.returncode, done.stdout, done.stderr.decode(errors="replace"), made, before, left


def in_our_code(said):
    """The first caller that is neither this harness nor the C library's own way to die."""
    for line in said.splitlines():
        found = re.match(r"(/\S+?)\(", line)
        if not found or found[1] == library or re.search(r"/libc\.so|/libgcc|linux-vdso", found[1]):
            continue
        return os.path.basename(found[1]) == os.path.basename(program), line
    return False, ""


def places(name, folder, kind):
    listing = os.path.join(folder, "list")
    if os.path.exists(listing):
        os.remove(listing)
    truth = run(name, folder, BC_FAIL_LIST=listing)
    lines = [line.split() for line in open(listing)]
    marks = [mark for k, mark in lines if k == kind]
    numbers, seen = [], set()
    for i, mark in enumerate(marks):
        if mark not in seen or much == "all":
            numbers.append(i + 1)
        seen.add(mark)
    if much.isdigit() and len(numbers) > int(much):
        step = len(numbers) / int(much)
        numbers = [numbers[int(i * step)] for i in range(int(much))]
    return truth, numbers, len(marks)


def judge(name, folder, number, truth, variable):
    code, out, said, made, before, left = run(name, folder, **{variable: str(number)})
    where = f"{name} {variable}={number}: "
    if code < 0:
        ours, line = in_our_code(said)
        return ("crash" if ours else "library", where + f"signal {signal.Signals(-code).name} at {line}")
    if left:
        return "left", where + f"left {left}"
    if code == truth[0]:
        if out != truth[1]:
            return "other", where + f"exit {code} with other output"
        if made != truth[3]:
            return "other", where + f"exit {code} with another file"
        return "same", ""
    allowed = (OUR_FAULT,) if variable == "BC_FAIL_ALLOCATION" else (OUR_FAULT, CANNOT_WRITE)
    if code not in allowed:
        return "blamed", where + f"exit {code}: {said.strip()[-200:]}"
    if made != before and made != truth[3] and CASES[name][1] and "/" not in CASES[name][1]:
        return "half", where + "another file than before or after"
    if not said.startswith("backcloth: ") and "\nbackcloth: " not in said:
        return "silent", where + "no sentence"
    return "told", ""


def of_case(name, made, cores):
    """What is printed of one case, how many runs it took, how many were wrong. Its runs are spread over the cores, a folder
    and an equal truth for each."""
    variable, kind = ("BC_FAIL_ALLOCATION", "a") if what == "allocations" else ("BC_FAIL_CALL", "c")
    folders = [tempfile.mkdtemp(prefix="faults") for _ in cores]
    try:
        for folder, core in zip(folders, cores):
            core_of[folder] = core
            shutil.copytree(made, folder, dirs_exist_ok=True)
            if name.endswith("-found"):
                run(name, folder) # what is found is there
        first, numbers, all_of_them = places(name, folders[0], kind) # nothing fails in this run: it tells the truth, too
        truths = [first] + [run(name, folder) for folder in folders[1:]]
        if truths[0][0] not in (0, 1):
            return [f"{name}: exit {truths[0][0]} without any fault: {truths[0][2]}"], 0, 1

        def some(which):
            return [judge(name, folders[which], n, truths[which], variable) for n in numbers[which::len(cores)]]
        with ThreadPoolExecutor(len(cores)) as pool:
            judged = [one for part in pool.map(some, range(len(cores))) for one in part]
    finally:
        for folder in folders:
            shutil.rmtree(folder, ignore_errors=True)
    tally, first = {}, {}
    for verdict, line in judged:
        tally[verdict] = tally.get(verdict, 0) + 1
        first.setdefault(verdict, []).append(line)
    told = [f"{name}: {len(numbers)} of {all_of_them} {what}: " + ", ".join(f"{n} {v}" for v, n in sorted(tally.items()))]
    wrong = [verdict for verdict in first if verdict not in ("same", "told", "library")]
    for verdict in wrong:
        told += [f"  {verdict} {line}" for line in first[verdict][: int(os.environ.get("LINES", "5"))]]
    if os.environ.get("LIBRARY"):
        told += [f"  library {line}" for line in first.get("library", [])]
    return told, len(numbers), sum(tally[verdict] for verdict in wrong)


def main():
    names, cores = named or SETS[what], sorted(os.sched_getaffinity(0))
    made = tempfile.mkdtemp(prefix="faults-made")
    free = queue.SimpleQueue() # a core for each case that is under way; all of them for a case on its own
    for group in [cores] if len(names) == 1 else [[core] for core in cores]:
        free.put(group)

    def one(name):
        mine = free.get()
        try:
            return of_case(name, made, mine)
        finally:
            free.put(mine)
    bad = total = 0
    try:
        material(made)
        with ThreadPoolExecutor(len(cores)) as pool:
            for told, runs, wrong in pool.map(one, names):
                print("\n".join(told), flush=True)
                total, bad = total + runs, bad + wrong
    finally:
        shutil.rmtree(made, ignore_errors=True)
    print(f"{total} runs, {bad} wrong")
    return 1 if bad or not total else 0


sys.exit(main())
