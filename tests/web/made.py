# SPDX-License-Identifier: MIT
"""Everything that the program makes of photos and a plan, by its commands and by its server, and a look into it."""
import base64, html, json, os, re, subprocess, urllib.parse, zlib

from server import PROGRAM, need

FILES = ("wall.png", "wall.pdf", "wall.svg", "aisle.png", "board.png", "board.pdf", "board.svg", "compare.png", "sheet.pdf", "packing.csv",
         "loads.csv", "plan.json", "feedback.pdf")


def program(folder, *words):
    """Its exit code, and all that it printed. Its store is in the folder, too."""
    done = subprocess.run([PROGRAM, *words], cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=300,
                          env={**os.environ, "LC_ALL": "C.UTF-8", "LANGUAGE": "en", "XDG_CACHE_HOME": os.path.join(folder, "cache")})
    need(f"{words[0]} ends by itself: {done.returncode} {done.stderr[-300:]}", done.returncode in (0, 1, 65))
    return done.returncode, done.stdout, done.stderr


def files_of(folder):
    for place, _, names in os.walk(folder):
        for name in names:
            path = os.path.join(place, name)
            with open(path, "rb") as file:
                yield os.path.relpath(path, folder), file.read()


def by_commands(folder, photos, cloth):
    """{name: bytes}: of photos (names in the folder) and its plan.json; makers/ is a mentor's folder of makers."""
    said, here = {}, ["--cloth", "#1f2430", "--cloth", "photo:" + cloth]
    out = os.path.join(folder, "out")
    os.mkdir(out)

    def run(name, *words):
        _, said[name + ".txt"], said[name + " (errors)"] = program(folder, *words)
    for i, photo in enumerate(photos):
        run(f"read {i}", "read", photo, "--json", "--mask-out", f"out/mask-{i}.png")
    run("stored", "read", *photos, "--stored")
    for kind in ("png", "pdf", "svg"):
        run("match " + kind, "match", *photos, *here, "-o", "out/board." + kind, "--compare", "out/compare." + kind, "--landscape", "out/landscape." + kind)
        run("elevation " + kind, "elevation", "plan.json", "-o", "out/wall." + kind)
        run("aisle " + kind, "elevation", "plan.json", "--view", "aisle", "-o", "out/aisle." + kind)
        run("look " + kind, "look", photos[0], "--wall-width", "200", "--corners", "5,5,150,5,150,150,5,150", "-o", "out/look." + kind)
    run("bare", "elevation", "plan.json", "--bare", "-o", "out/bare.png")
    run("match json", "match", *photos, *here, "--json")
    for kind in ("pdf", "png"):
        run("sheet " + kind, "sheet", "plan.json", "-o", "out/sheet." + kind)
    for what in ("loads", "packing"):
        for way in ((), ("--json",), ("--csv",)):
            run(" ".join((what, *way)), what, "plan.json", *way)
    run("check", "plan", "check", "plan.json")
    run("arrange", "arrange", "plan.json", "-o", "out/arranged.json")
    makers = sorted(os.listdir(os.path.join(folder, "makers")))
    run("feedback", "feedback", *["makers/" + name for name in makers], "-o", "out/feedback", "--json", "--cloths", "cloths.json")
    return {**said, **dict(files_of(out))}


def by_server(ask, maker, headers={}):
    """{address: bytes} of all that a link to a maker can see."""
    known = ask("GET", f"/api/makers/{maker}", headers=headers)[1]
    paths = [f"/api/makers/{maker}{end}" for end in ("", "/plan", "/glance", "/match", "/suggest", "/packing", "/loads", "/comments")]
    paths += [f"/api/makers/{maker}/files/{name}" for name in FILES]
    paths += [f"/api/photos/{photo['id']}/{what}" for photo in known["photos"] for what in ("preview", "cutout", "mask")]
    made = {}
    for path in paths:
        if path.endswith("compare.png"):
            path += "?cloths=" + ",".join(cloth["id"] for cloth in known["cloths"][:2])
        status, body = ask("GET", path, headers=headers)
        need(f"{path}: {status} {str(body)[:200]}", status == 200)
        made[path] = body if isinstance(body, bytes) else json.dumps(body, ensure_ascii=False).encode()
    return made


def inside(data):
    """The bytes, and those that are packed in them: streams of a PDF, chunks of a PNG, pictures within a page or a drawing."""
    found = [data]
    for start in (m.end() for m in re.finditer(rb"stream\r?\n", data)):
        try:
            found.append(zlib.decompressobj().decompress(data[start:]))
        except zlib.error:
            pass
    if data.startswith(b"\x89PNG"):
        at = 8
        while at + 12 <= len(data):
            size, kind = int.from_bytes(data[at:at + 4], "big"), data[at + 4:at + 8]
            body = data[at + 8:at + 8 + size]
            if kind in (b"zTXt", b"iTXt", b"iCCP"):
                for start in range(min(len(body), 200)):
                    try:
                        found.append(zlib.decompress(body[start:]))
                        break
                    except zlib.error:
                        pass
            at += 12 + size
    for packed in re.findall(rb"base64,([A-Za-z0-9+/=\s]+)", data):
        found += inside(base64.b64decode(packed))
    text = data.decode("latin-1")
    if "%" in text or "&" in text:
        found.append(html.unescape(urllib.parse.unquote(text)).encode("latin-1", "replace"))
    return found
