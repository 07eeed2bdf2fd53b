#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What people type is text wherever it comes out: tries at markup, scripts, spreadsheets, terminals, headers, formats,
queries and shells, as names, titles, remarks, file names, notes, every text of a plan, EXIF, profiles and folders. Each page
and drawing has the elements that it has with harmless names; nothing else is written, run or fetched. tests/browser/tries.test.mjs
looks at the page itself."""
import csv, html.parser, http.client, io, json, os, re, shutil, subprocess, tempfile, urllib.parse, xml.etree.ElementTree as xml

from made import by_commands, by_server, files_of, program
from server import SOURCE, Server, need

TRIES = ["<img src=x onerror=alert(1)>", "\"><script>alert(1)</script>", "'-alert(1)-'", "</text></svg><script>alert(1)</script>", "<!--", "]]><a>", "&lt;b&gt;&#60;b&#62;",
         "javascript:alert(1)", "=1+1", "@SUM(A1)", "+1;cmd", "-2\t3", "=HYPERLINK(\"http://evil.example\")", "%s%n%p%08x", "%d0%0d%0aX-Evil: 1", "'; DROP TABLE makers;--",
         "' OR '1'='1", "$(touch ran)", "`touch ran`", "| touch ran", "{{7*7}}", "../../../escaped", "\u202egnp.exe", "\u2028\u2029", "\ufeffx", "<b>&amp;</b>", "\\\"\\n",
         ") /JS (app.alert\\(1\\)) /S /JavaScript (", "<span foreground='red' font='900'>"]
HARMLESS = "Quarrow"
NAMES = ["<img src=x onerror=alert(1)>.jpg", "=1+1.jpg", "$(touch ran).jpg", "-o.jpg", "%s%n.jpg", "a\"b'c&d.jpg", "\x1b[2Jclear.jpg", "new\nline.jpg"]
ESCAPES = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class Page(html.parser.HTMLParser):
    """A page's elements with their attributes' names, and what it would fetch."""

    def __init__(self, text):
        super().__init__()
        self.kinds, self.fetched = set(), []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.kinds.add((tag, tuple(sorted(name for name, _ in attributes))))
        self.fetched += [value or "" for name, value in attributes if name in ("src", "href", "srcset", "action", "data") or "url(" in (value or "")]

    handle_startendtag = handle_starttag


def drawing_kinds(data):
    """An SVG's elements; it is whole XML, or this fails."""
    kinds = set()
    for one in xml.fromstring(data).iter():
        kinds.add(one.tag.rsplit("}", 1)[-1])
        for name, value in one.attrib.items():
            name = name.rsplit("}", 1)[-1]
            need(f"no attribute that runs: {name}", not name.lower().startswith("on"))
            need(f"nothing from elsewhere: {value[:60]}", name != "href" or value.startswith(("#", "data:image/")))
    return kinds


def check_csv(name, data):
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
    need(f"{name}: each line has as many cells", len({len(row) for row in rows if row}) <= 1 or "\n\n" in data.decode().replace("\r", ""))
    for cell in (cell for row in rows for cell in row):
        need(f"{name}: no cell is a formula: {cell[:40]!r}", not re.match(r"\s*[=+@\-\t\r]", cell) or re.fullmatch(r"\s*[-+]?[\d.]+(e-?\d+)?", cell))


def kind_of(name, data):
    kind = re.sub(r"\?.*", "", name).rsplit(".", 1)[-1]
    if name.endswith("--csv.txt"):
        return "csv"
    return "json" if name.startswith("/api/") and data[:1] in (b"{", b"[") else kind


def kinds_of(made):
    """What pages and drawings consist of, for each of their names."""
    found = {}
    for name, data in made.items():
        kind = kind_of(name, data)
        if kind == "svg":
            found[re.sub(r"^.*/", "", name)] = drawing_kinds(data)
        elif kind == "html":
            page = Page(data.decode())
            for value in page.fetched:
                # A folder's name is the user's; whatever it is, it names no scheme and stays within the output folder.
                path = urllib.parse.unquote(value)
                fine = value.startswith(("data:image/", "#")) or not re.match(r"\s*[a-z][a-z0-9+.-]*:|/", value, re.I)
                need(f"{name}: nothing from elsewhere: {value[:80]}", fine and ".." not in path.split("/") and not path.startswith("/"))
            found.setdefault(re.sub(r"^.*/", "", name), set()).update(page.kinds)
    return found


def check(made, plain):
    ours, theirs = kinds_of(made), kinds_of(plain)
    for name, kinds in ours.items():
        need(f"{name} has what it has with harmless names: {kinds - theirs.get(name, set())}", kinds <= theirs.get(name, set()))
    need(f"pages and drawings were looked at: {sorted(ours)}", len(ours) >= 8)
    for name, data in made.items():
        kind = kind_of(name, data)
        if kind == "csv" and data:
            check_csv(name, data)
        elif kind == "json":
            json.loads(data)
        elif kind == "pdf":
            need(f"{name} runs nothing", not re.search(rb"/(JavaScript|JS|Launch|OpenAction|AA|SubmitForm|EmbeddedFile)\b", data))
        if name.endswith((".txt", "(errors)")):
            need(f"{name}: nothing that a terminal obeys: {ESCAPES.search(data)}", not ESCAPES.search(data))


def plan_of(typed, photos):
    """A wall in which every text that may be typed is one of the tries."""
    texts = iter(typed * 3)
    pieces = [{"id": f"p{i}", "title": text, "photo": photos[i % len(photos)], "width": 18, "height": 16, "weight_g": 300, "at": [15 + 24 * (i % 12), 110 + 35 * (i // 12)],
               "notes": text, "material": text, "technique": text, "function": text} for i, text in enumerate(typed)]
    return {"backcloth": 1, "title": next(texts), "notes": typed, "stand": {"width": 300, "depth": 200, "wall_height": 240}, "cloth": {"colour": "#1f2430", "notes": next(texts)},
            "drawing": {"author": next(texts), "date": next(texts), "number": next(texts), "revision": next(texts)},
            "zones": [{"x": 0, "y": 0, "width": 5, "height": 5, "reason": next(texts)}],
            "rods": [{"id": next(texts), "y": 230, "outer_mm": 25, "wall_mm": 2, "material": "steel", "rated_kg": 20}],
            "tables": [{"id": next(texts)}], "pieces": pieces}


def one_line(texts):
    """A plan refuses texts and names that hold control characters."""
    return [text for text in texts if not ESCAPES.search(text.encode()) and "\t" not in text and "\n" not in text]


def write_plan(folder, typed, photos):
    with open(folder + "/plan.json", "w") as file:
        json.dump(plan_of(typed, photos), file)
    code, _, said = program(folder, "plan", "check", "plan.json")
    need(f"a line break is refused in words: {said[:300]}", typed == one_line(typed) or (code == 65 and b"control character" in said))
    if code == 65:
        write_plan(folder, one_line(typed), one_line(photos))


def material(folder, typed, names):
    os.makedirs(folder + "/photos")
    for name in ["cloth.jpg"] + names:
        shutil.copy(make_photo(folder, typed), f"{folder}/photos/{name}")
    for text in typed:
        maker = f"{folder}/makers/" + (text.replace("/", "\u2044")[:120] or "x")
        os.makedirs(maker, exist_ok=True)
        with open(maker + "/notes.txt", "w") as file:
            file.write("\n".join(typed))
    for maker, name in zip(sorted(os.listdir(folder + "/makers")), names):
        shutil.copy(f"{folder}/photos/{name}", f"{folder}/makers/{maker}/{name}")
        with open(f"{folder}/makers/{maker}/plan.json", "w") as file:
            json.dump(plan_of(one_line(typed)[:6], one_line([name]) or [names[0]]), file)
    with open(folder + "/cloths.json", "w") as file:
        json.dump({"cloths": [{"name": text, "colour": f"#{40 + i:02x}3020"} for i, text in enumerate(dict.fromkeys(typed[:12]))]}, file)
    write_plan(folder, typed, ["photos/" + name for name in names])


def make_photo(folder, typed):
    path = folder + "/one.jpg"
    if not os.path.exists(path):
        subprocess.run(["convert", f"{SOURCE}/assets/demo/photos/vase.jpg", "-strip", "-resize", "160x160", path], check=True)
        tags = ("ImageDescription", "Artist", "Copyright", "UserComment", "XMP-dc:Title", "IPTC:By-line", "Comment", "Make", "Model")
        subprocess.run(["exiftool", "-q", "-overwrite_original", *[f"-{tag}={text}" for tag, text in zip(tags, typed)], path], check=True, stderr=subprocess.DEVNULL)
    return path


# --- the commands ---------------------------------------------------------------------------------------------------

def run_commands(folder, typed, names):
    material(folder, typed, names)
    before = dict(files_of(folder))
    made = by_commands(folder, ["photos/" + name for name in names], "photos/cloth.jpg")
    after = dict(files_of(folder))
    new = [name for name in after if name not in before and not name.startswith(("out/", "cache/"))]
    need(f"nothing is written elsewhere: {new}", not new and not os.path.exists(os.path.dirname(folder) + "/escaped"))
    need("nothing is changed", all(after.get(name) == data for name, data in before.items()))
    return made


# --- the server -----------------------------------------------------------------------------------------------------

def fill(server, typed, names):
    maker = server.ask("POST", "/api/makers", {"name": typed[0]})[1]["id"]
    here = f"/api/makers/{maker}"
    with open(make_photo(tempfile.mkdtemp(dir=os.path.dirname(server.data)), typed), "rb") as file:
        photo = file.read()
    for text in typed:
        server.ask("POST", "/api/makers", {"name": text})
        need(f"a remark {text!r}", server.ask("POST", here + "/comments", {"text": text, "on": {"wall": [100, 100]}})[0] == 201)
        cloth = server.ask("POST", here + "/cloths", {"css": "#1f2430", "name": text})
        need(f"a cloth {text!r}: {cloth}", cloth[0] == 201 and cloth[1]["name"] == text or cloth[0] == 422)
    for text, name in zip(typed, names):
        status, made = server.ask("POST", here + "/photos", photo, {"X-Name": urllib.parse.quote(name)})
        need(f"a photo {name!r}: {made}", status == 201)
        need(f"its title: {text!r}", server.ask("PUT", f"/api/photos/{made['id']}", {"title": text, "width_cm": 12, "height_cm": 14, "weight_g": 100})[0] == 200)
    now = server.ask("GET", here + "/plan")[1]
    plan = plan_of(one_line(typed), [None])
    for piece in plan["pieces"]:
        piece.pop("photo")
    plan["pieces"] += [{**piece, "at": [20 + 30 * i, 90]} for i, piece in enumerate(now["plan"]["pieces"])]
    status, saved = server.ask("PUT", here + "/plan", {"base": now["revision"], "plan": plan})
    need(f"the plan: {saved}", status == 200)
    return maker


def run_server(folder, typed, names):
    with Server(folder) as server:
        maker = fill(server, typed, names)
        token = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share"})[1]["url"].rsplit("/", 1)[1]
        made = by_server(server.ask, maker, {"X-Link": token})
        known = server.ask("GET", f"/api/makers/{maker}")[1]
        need("remarks come back as they were typed", [one["text"] for one in known["comments"]] == typed)
        need("makers are all there", len(server.ask("GET", "/api/makers")[1]) >= len(typed))
        check_headers(server, maker)
    return made


def check_headers(server, maker):
    """No name, language or address gets into a head of ours."""
    evil = "%0d%0aX-Evil:%201%0d%0aSet-Cookie:%20a=b"
    for path in (f"/api/makers/{maker}/files/plan.json?save={evil}", f"/maker/{maker}?language={evil}", f"/with/{evil}/maker/x", f"/with/abcdefgh{evil}",
                 f"/api/makers/{maker}/files/{evil}?save=1", f"/api/me?units={evil}&language={evil}", f"/page/{evil}"):
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
        connection.request("GET", path, headers={"Cookie": "language=en%0d%0aX-Evil: 1; units=x", "Accept-Language": "en%0d%0a, <script>"})
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        need(f"{path}: {answer.getheaders()}", answer.headers["X-Evil"] is None and "a=b" not in str(answer.getheaders()) and answer.status < 500)
        need(f"{path}: not repeated", b"X-Evil" not in body)


def main():
    plain = [f"{HARMLESS} {i}" for i in range(len(TRIES))]
    with tempfile.TemporaryDirectory() as aside:
        for where in ("tried", "plain"):
            os.makedirs(f"{aside}/{where}")
        tried = run_commands(aside + "/tried/stand", TRIES, NAMES)
        harmless = run_commands(aside + "/plain/stand", plain, [f"{HARMLESS}{i}.jpg" for i in range(len(NAMES))])
        own = lambda made: {name for name in made if not name.startswith("feedback/")}
        need(f"as much is made: {own(tried) ^ own(harmless)}", own(tried) == own(harmless) >= {"wall.svg", "board.svg", "sheet.pdf", "look.svg", "aisle.pdf", "landscape.svg"})
        check(tried, harmless)
        served = run_server(aside + "/tried/data", TRIES, NAMES)
        check(served | {"x" + n: d for n, d in tried.items() if n.endswith((".svg", ".html"))},
              run_server(aside + "/plain/data", plain, [f"{HARMLESS}{i}.jpg" for i in range(len(NAMES))]) | {"x" + n: d for n, d in harmless.items() if n.endswith((".svg", ".html"))})
        need("nothing ran", not any(os.path.basename(name) == "ran" for name, _ in files_of(aside)))
    print(f"injection: {len(TRIES)} texts and {len(NAMES)} names in {len(tried) + len(served)} answers, lists and pictures: all of it stays text")


if __name__ == "__main__":
    main()
