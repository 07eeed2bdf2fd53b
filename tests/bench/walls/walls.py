# SPDX-License-Identifier: MIT
"""Arrangements of the program against arrangements of the same pieces laid out by hand, judged blind.

  walls.py draw BACKCLOTH FOLDER   pairs as pictures without names, in an order of chance; the key goes to key.json
  walls.py count FOLDER            answers (answers.tsv: pair, L or R or =) by the key

The hand's layouts stand below; they were written before the program's were seen. A hand's layout obeys the hard rules
that show: the gap, the wall, shelves. Pieces are plain shapes, so that nothing but their places is judged."""
import json, random, subprocess, sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
SEED = int(sys.argv[4]) if len(sys.argv) > 4 else 20


def many(prefix, sizes, **more):
    return [dict(id=f"{prefix}{i + 1}", width=w, height=h, **more) for i, (w, h) in enumerate(sizes)]


def row(names, xs, y):
    return {n: [x, y] for n, x in zip(names, xs)}


def ids(prefix, first, last):
    return [f"{prefix}{i}" for i in range(first, last + 1)]


STAND = {"kind": "shelf"}
POTS = [(18, 22), (16, 20), (14, 18), (12, 16), (10, 14), (10, 14), (12, 16), (14, 10), (16, 12), (18, 10)]
LOWER, UPPER = 115, 160


def on_shelf(places, height):
    return {n: [x, height + POTS[int(n[1:]) - 1][1] / 2] for n, x in places.items()}


COLLECTIONS = {
    "jewellery": dict(width=200, pieces=many("n", [(12, 25)] * 6) + many("b", [(10, 8)] * 4) + many("e", [(6, 8)] * 6, role="small"), hand=[
        {**row(ids("n", 1, 6), range(50, 151, 20), 160), **row(ids("e", 1, 6), range(50, 151, 20), 133), **row(ids("b", 1, 4), range(70, 131, 20), 115)},
        {**{f"n{i + 1}": [40 + 24 * i, y] for i, y in enumerate((150, 158, 166, 166, 158, 150))},
         **{f"e{i + 1}": [40 + 24 * i, y - 27] for i, y in enumerate((150, 158, 166, 166, 158, 150))},
         "b1": [64, 114], "b2": [88, 122], "b3": [112, 122], "b4": [136, 114]}]),
    "two banners": dict(width=300, pieces=many("b", [(60, 150), (50, 120)]), hand=[
        {"b1": [115, 140], "b2": [190, 155]}, {"b1": [110, 148], "b2": [195, 148]}]),
    "small pots": dict(width=300, shelves=[dict(id="low", x=90, y=LOWER, width=120, depth=20), dict(id="high", x=90, y=UPPER, width=120, depth=20)],
                       pieces=many("p", POTS, depth=12, mount=STAND), hand=[
        {**on_shelf(dict(p9=100, p7=124, p1=150, p4=176, p8=199), LOWER), **on_shelf(dict(p10=101, p5=124, p2=146, p3=171, p6=195), UPPER)},
        {**on_shelf(dict(p1=100, p3=125, p5=147, p7=167, p9=192), UPPER), **on_shelf(dict(p10=101, p8=127, p6=149, p4=170, p2=196), LOWER)}]),
    "one huge textile": dict(width=300, pieces=[dict(id="t", width=180, height=150, role="statement")] + many("c", [(20, 15)] * 3, role="small"), hand=[
        {"t": [130, 150], "c1": [245, 173], "c2": [245, 150], "c3": [245, 127]},
        {"t": [150, 150], "c1": [35, 150], "c2": [265, 162], "c3": [265, 138]}]),
    "sixty tiles": dict(width=480, pieces=many("a", [(25, 25)] * 20) + many("b", [(20, 20)] * 20) + many("c", [(15, 15)] * 20), hand=[
        {f"{p}{r * 10 + i + 1}": [91.5 + 33 * i, y] for p, ys in (("a", (205, 172)), ("b", (141, 113)), ("c", (87, 64))) for r, y in enumerate(ys) for i in range(10)},
        {**{f"a{r * 5 + i + 1}": [240 + 33 * (i - 2), 199.5 - 33 * r] for r in range(4) for i in range(5)},
         **{f"b{r * 4 + i + 1}": [42.5 + 28 * i, 206 - 28 * r] for r in range(5) for i in range(4)},
         **{f"c{r * 4 + i + 1}": [351 + 23 * i, 196 - 23 * r] for r in range(5) for i in range(4)}}]),
    "mixed": dict(width=360, pieces=[dict(id="T", width=80, height=100, role="statement")] + many("t", [(50, 70), (50, 70), (40, 50), (40, 50)])
                  + many("d", [(22, 22)] * 5) + [dict(id="m", width=30, height=40, role="mirror")], hand=[
        {"T": [180, 150], "t1": [105, 150], "t2": [255, 150], "t3": [50, 160], "t4": [310, 160], "m": [310, 107], "d1": [50, 115],
         "d2": [90, 204], "d3": [120, 204], "d4": [240, 204], "d5": [270, 204]},
        {"T": [120, 150], "t1": [205, 165], "t2": [265, 165], "t3": [320, 165], "t4": [50, 122], "m": [50, 178],
         **row(ids("d", 1, 5), range(192, 313, 30), 110)}]),
    "plates": dict(width=240, pieces=many("a", [(30, 30)] * 4) + many("b", [(24, 24)] * 4) + many("c", [(18, 18)] * 4), hand=[
        {"a1": [101, 169], "a2": [139, 169], "a3": [101, 131], "a4": [139, 131], "b1": [66, 166], "b2": [66, 134], "b3": [174, 166], "b4": [174, 134],
         "c1": [107, 201], "c2": [133, 201], "c3": [107, 99], "c4": [133, 99]},
        {**row(ids("a", 1, 4), (54, 98, 142, 186), 178), **row(ids("b", 1, 4), (54, 98, 142, 186), 143), **row(ids("c", 1, 4), (54, 98, 142, 186), 112)}]),
    "scarves": dict(width=320, pieces=many("s", [(30, 120)] * 7), hand=[
        row(ids("s", 1, 7), range(46, 275, 38), 140),
        {f"s{i + 1}": [46 + 38 * i, y] for i, y in enumerate((130, 138, 144, 148, 144, 138, 130))}]),
    "five squares": dict(width=300, pieces=many("q", [(50, 50)] * 5), hand=[
        row(ids("q", 1, 5), range(34, 267, 58), 152),
        {"q1": [92, 179], "q2": [92, 121], "q3": [150, 150], "q4": [208, 179], "q5": [208, 121]}]),
    "baskets": dict(width=300, pieces=[dict(id="A", width=55, height=50, role="statement")]
                    + [dict(id=n, width=w, height=h) for n, w, h in (("b", 45, 40), ("c", 40, 40), ("d", 35, 30), ("e", 30, 30), ("f", 28, 25), ("g", 24, 24), ("h", 20, 20))], hand=[
        {"A": [150, 150], "b": [92, 150], "c": [206, 150], "d": [44, 158], "e": [249, 158], "f": [126, 196], "g": [166, 196], "h": [44, 125]},
        {"b": [69.5, 165], "A": [131.5, 165], "c": [191, 165], "e": [238, 165], "d": [96, 112], "f": [139.5, 112], "g": [177.5, 112], "h": [211.5, 112]}]),
}
COLOURS = {"A": "#7a4b32", "T": "#6b2f3a", "t": "#6b2f3a", "a": "#2f5d62", "b": "#5e8b7e", "c": "#c58940", "d": "#41644a", "e": "#b0895a",
           "n": "#394867", "m": "#9ba4b5", "p": "#8d5b4c", "s": "#874356", "q": "#35524a", "f": "#9a6b3f", "g": "#b58b5c", "h": "#c9a777"}


def plan_of(name):
    c = COLLECTIONS[name]
    pieces = [{"weight_g": 200, **p} for p in c["pieces"]]
    return {"backcloth": 1, "title": name, "stand": {"width": c["width"], "wall_height": 240}, "gap": 8, "shelves": c.get("shelves", []), "pieces": pieces}


def sound(name, places):
    """The hand keeps the gap and the wall."""
    c = COLLECTIONS[name]
    boxes = [(p["id"], *places[p["id"]], p["width"] / 2, p["height"] / 2) for p in c["pieces"]]
    for i, (n, x, y, w, h) in enumerate(boxes):
        assert x - w >= 0 and x + w <= c["width"] and y + h <= 240, (name, n)
        for m, u, v, a, b in boxes[:i]:
            standing = "shelves" in c
            assert max(abs(x - u) - w - a, abs(y - v) - h - b) >= (7.9 if not standing or abs(y - v) < 30 else 0), (name, n, m)
    return places


def arranged(program, folder, name):
    path = folder / "plan.json"
    path.write_text(json.dumps(plan_of(name)))
    out = subprocess.run([program, "arrange", "--afresh", "--json", path], capture_output=True, text=True)
    found = json.loads(out.stdout)["arrangements"]
    return [{p["piece"]: p["at"] for p in a["places"] if "at" in p} for a in found]


def draw(name, places, x0, y0, scale):
    c = COLLECTIONS[name]
    box = lambda left, top, w, h, more: f'<rect x="{x0 + left * scale:.1f}" y="{y0 + (240 - top) * scale:.1f}" width="{w * scale:.1f}" height="{h * scale:.1f}" {more}/>'
    out = [box(0, 240, c["width"], 240, 'fill="#efe9df" stroke="#999"')]
    out += [box(s["x"], s["y"], s["width"], 2, 'fill="#777"') for s in c.get("shelves", [])]
    for p in c["pieces"]:
        if p["id"] in places:
            x, y = places[p["id"]]
            more = f'fill="{COLOURS[p["id"][0]]}"' + (f' rx="{p["width"] * scale / 2:.1f}"' if name == "plates" else "")
            out.append(box(x - p["width"] / 2, y + p["height"] / 2, p["width"], p["height"], more))
    return out


def draw_pairs(program, folder):
    """Sheets of five pairs as SVG; rsvg-convert (Debian: librsvg2-bin) makes PNGs of them."""
    chance, pairs = random.Random(SEED), []
    folder.mkdir(parents=True, exist_ok=True)
    for name, c in COLLECTIONS.items():
        ours = arranged(program, folder, name)
        for i, hand in enumerate(c["hand"]):
            two = [("hand", sound(name, hand)), ("program", ours[min(i, len(ours) - 1)])]
            chance.shuffle(two)
            pairs.append((name, i, two))
    chance.shuffle(pairs)
    for sheet in range(0, len(pairs), 5):
        drawn = ['<svg xmlns="http://www.w3.org/2000/svg" width="1500" height="1900"><rect width="1500" height="1900" fill="#fff"/>']
        for k, (name, _, two) in enumerate(pairs[sheet:sheet + 5]):
            scale = min(700 / COLLECTIONS[name]["width"], 350 / 240)
            for side in range(2):
                drawn += draw(name, two[side][1], 30 + 740 * side, 20 + 380 * k, scale)
            drawn.append(f'<text x="2" y="{40 + 380 * k}" font-size="18">{sheet + k + 1}</text>')
        path = folder / f"sheet-{sheet // 5 + 1}.svg"
        path.write_text("\n".join(drawn) + "</svg>")
        subprocess.run(["rsvg-convert", path, "-o", path.with_suffix(".png")], check=True)
    key = [{"pair": i + 1, "collection": n, "hand": h + 1, "left": two[0][0]} for i, (n, h, two) in enumerate(pairs)]
    (folder / "key.json").write_text(json.dumps(key, indent=1))
    (folder / "places.json").write_text(json.dumps({f"{n} {h + 1}": dict(two) for n, h, two in pairs}))


def count(folder):
    key = {k["pair"]: k for k in json.loads((folder / "key.json").read_text())}
    tally = {"program": 0, "hand": 0, "alike": 0}
    for line in (folder / "answers.tsv").read_text().splitlines():
        pair, answer, *why = line.split("\t")
        k = key[int(pair)]
        left = k["left"]
        chosen = "alike" if answer == "=" else left if answer == "L" else {"hand": "program", "program": "hand"}[left]
        tally[chosen] += 1
        print(f"{k['collection']:18} {k['hand']}  {chosen:8} {' '.join(why)}")
    print(tally)


if sys.argv[1] == "draw":
    draw_pairs(sys.argv[2], Path(sys.argv[3]))
else:
    count(Path(sys.argv[2]))
