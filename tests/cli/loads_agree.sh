#!/bin/sh
# Words, CSV, JSON, packing, set-up sheet and drawing say the same about every point and carrier, over random plans with
# weights, ratings, materials and places left out here and there. The page asks for the same JSON.
. "$(dirname "$0")/lib"
command -v pdftotext >/dev/null || { echo "no pdftotext: not checked"; exit 0; }
cat >agree.py <<'PYTHON'
import csv, io, json, os, random, re, subprocess, sys

program, seed = sys.argv[1], int(sys.argv[2])
draw = random.Random(seed)

# Plans come in three kinds: anything goes; all given and generous; generous, with gaps.
kind = 0
def maybe(key, value, share=0.85):
    return {key: value} if draw.random() < (share, 1, share)[kind] else {}

def one_plan():
    return generous(any_plan()) if kind else any_plan()

def generous(plan):
    plan["stand"].pop("wall", None)
    plan.pop("frame", None)
    for group in ("rods", "shelves", "grids", "tables", "pieces"):
        for one in plan.get(group, []):
            for key, value in (("rated_kg", 900), ("fixing_rated_kg", 900), ("weight_g", 100), ("outer_mm", 40), ("depth", 1),
                               ("material", "steel"), ("length", 280)):
                if key in one:
                    one[key] = value
            if "mount" in one and "rated_kg" in one["mount"]:
                one["mount"]["rated_kg"] = 50
            if "at" in one:
                one["at"][0] = min(max(one["at"][0], 60), 250)
    return plan

def any_plan():
    materials = ["steel", "aluminium", "pine", "oak", "unobtainium"]
    plan = {"backcloth": 1, "title": "T", "stand": {"width": 300, "wall_height": 240}, "packing": {"bag_kg": 900},
            "gap": 0, "rods": [], "shelves": [], "grids": [], "pieces": []}
    plan["stand"] |= maybe("wall", draw.choice(["solid", "plasterboard", "foam-board", "hired-panel"]), 0.3)
    plan["stand"] |= maybe("fixing", draw.choice(["screw", "adhesive-hook", "over-panel-hook", "clamp"]), 0.3)
    for i in range(draw.randint(0, 2)):
        plan["rods"].append({"id": f"r{i}", "x": 10, "length": draw.choice([140, 280]), "y": 225 - 10 * i}
                            | maybe("material", draw.choice(materials)) | maybe("outer_mm", draw.choice([12, 25, 40]), 0.9)
                            | maybe("rated_kg", draw.choice([5, 30, 90])))
    for i in range(draw.randint(0, 2)):
        plan["shelves"].append({"id": f"s{i}", "x": 10 + 150 * i, "y": 60, "width": 120, "depth": 25}
                               | maybe("rated_kg", draw.choice([10, 60])) | maybe("bracket_height", 20)
                               | maybe("fixing_rated_kg", draw.choice([10, 90])) | maybe("weight_g", 1500))
    if draw.random() < 0.4:
        plan["grids"].append({"id": "g", "x": 230, "y": 90, "width": 60, "height": 90} | maybe("rated_kg", draw.choice([3, 90])))
    if draw.random() < 0.3:
        plan["cloth"] = {"colour": "#334455", "height": 200, "top": 225} | maybe("grams_per_m2", 200)
    if draw.random() < 0.3:
        plan["frame"] = {"base_depth": draw.choice([80, 260])} | maybe("weight_g", draw.choice([9000, 190000]))
    if draw.random() < 0.5:
        plan["tables"] = [{"id": "t", "x": 100, "width": 100} | maybe("rated_kg", draw.choice([1, 50]), 0.6)]
    for i in range(draw.randint(2, 6)):
        mount = {"kind": draw.choice(["nail", "hook", "clip", "cord"])} | maybe("rated_kg", draw.choice([1, 6, 40]))
        mount["points"] = draw.choice([1, 2] if mount["kind"] == "cord" else [1, 2, 3, 8])
        on = [r["id"] for r in plan["rods"]]
        if draw.random() < 0.5 and on:
            mount["on"] = draw.choice(on)
        elif plan["grids"] and mount["kind"] != "nail" and draw.random() < 0.4:
            mount |= {"on": "g", "points": 1}
        if plan["shelves"] and draw.random() < 0.3:
            mount = {"kind": "shelf", "on": draw.choice(plan["shelves"])["id"]}
        elif "tables" in plan and draw.random() < 0.2:
            mount = {"kind": "table"}
        x, y = draw.uniform(20, 290), 76 if mount["kind"] in ("shelf", "table") else draw.uniform(100, 190)
        if mount.get("on") == "g":
            x, y = 260, 155
        plan["pieces"].append({"id": f"p{i}", "title": f"Piece {'ABCDEF'[i]}", "width": 30, "height": 30, "mount": mount}
                              | maybe("weight_g", draw.choice([300, 2000, 8000]), 0.9) | maybe("depth", draw.choice([1, 40]), 0.9)
                              | maybe("at", [x, y], 0.9))
    return {key: value for key, value in plan.items() if value != []}

def run(*words):
    done = subprocess.run([program, *words], capture_output=True, text=True, env=os.environ | {"LANGUAGE": "en"})
    assert done.returncode in (0, 1), (words, done.stderr)
    return done

mark_of = {True: "✓", False: "✗", None: "?"}
word_of = {True: "yes", False: "no", None: "not known"}

def name_of(finding, plan, titles):
    kind, id = finding["of"], finding["id"]
    if kind == "points":
        of, first, last = titles[id][1], finding["first"], finding["last"]
        if of == 1:
            return titles[id][0]
        return f"{titles[id][0]}, point {first} of {of}" if first == last else f"{titles[id][0]}, points {first} to {last} of {of}"
    words, several = {"rod": ("rod", "rods"), "shelf": ("shelf", "shelves"), "fixings": ("shelf", "shelves"),
                      "grid": ("grid panel", "grids"), "table": ("table", "tables"), "frame": ("frame", None)}[kind]
    name = f"the {words}" if kind == "frame" or len(plan[several]) == 1 else f'the {words} "{id}"'
    return f"the upper screws of {name}" if kind == "fixings" else name

def packed(text):
    return re.sub(r"\s+", "", text)

def check(plan):
    json.dump(plan, open("plan.json", "w"))
    done = run("loads", "plan.json", "--json")
    loads = json.loads(done.stdout)
    words = run("loads", "plan.json").stdout
    titles = {p["id"]: (p["title"], p["mount"].get("points", 1)) for p in plan["pieces"]}
    cloth_points = max([p["point"] for p in loads["points"] if p["piece"] == "cloth"], default=0)
    titles["cloth"] = ("the cloth", cloth_points)

    # Each point of the JSON has its own mark in the words.
    details = words.split("? not known\n\n", 1)[1].split("\n\n", 1)[0].splitlines()
    for point in loads["points"]:
        title, of = titles[point["piece"]]
        number, found = point["point"], []
        for line in details:
            if of == 1 and re.match(rf"  (.) {title},", line):
                found.append(line[2])
            hit = re.match(rf"  (.) {title}, points? (\d+)(?: to (\d+))? of {of},", line)
            if hit and int(hit[2]) <= number <= int(hit[3] or hit[2]):
                found.append(hit[1])
        assert found == [mark_of[point["ok"]]], ("words", point, found)

    # What rests on something that nobody gave is not ticked.
    given = {p["id"]: p for p in plan["pieces"]}
    rods = {r["id"]: r for r in plan.get("rods", [])}
    for point in loads["points"]:
        piece = given.get(point["piece"])
        unknown = piece and ("weight_g" not in piece or "rated_kg" not in piece["mount"])
        rod = rods.get(point["on"])
        unknown = unknown or (rod and ("material" not in rod or "rated_kg" not in rod))
        assert not (unknown and point["ok"]), ("ticked", point)
        assert point["ok"] is not None or point["utilisation"] is None, point
    for shelf in loads["shelves"]:
        on = [p for p in plan["pieces"] if p["mount"].get("on") == shelf["id"] and "at" in p]
        if any("weight_g" not in p for p in on):
            assert shelf["ok"] is not True, ("ticked", shelf)

    # The list of findings is the same everywhere; where no piece has a place nothing is ticked.
    nowhere = all("at" not in p for p in plan["pieces"])
    assert loads["ok"] == (False if any(f["ok"] is False for f in loads["findings"]) else
                           None if nowhere or any(f["ok"] is None for f in loads["findings"]) else True)
    assert ("NOT KNOWN whether it holds: no piece has a place yet." in words) == nowhere, "words"
    rated = "By this plan: holds" in words or "By this plan: the hooks, rods and shelves hold. Whether the wall holds is NOT KNOWN." in words
    assert rated == (loads["ok"] is True), "statement"
    assert done.returncode == (loads["ok"] is not True)
    assert words.startswith("STOP: hang nothing") == (loads["ok"] is False)
    wrong = [f for f in loads["findings"] if f["ok"] is not True]
    for finding in loads["findings"]:
        name = name_of(finding, plan, titles)
        hits = [line for line in details if line.startswith(f"  {mark_of[finding['ok']]} {name}")]
        assert hits, ("not in the words", name, finding)
        assert (f"  {mark_of[finding['ok']]} {name}:" in words.split("Hanging loads.")[0]) == (finding in wrong), name

    rows = list(csv.DictReader(io.StringIO(run("loads", "plan.json", "--csv").stdout)))
    kinds = {"support": loads["rods"], "grid": loads["grids"]}
    for row in rows:
        if row["what"] == "point":
            ok = [p["ok"] for p in loads["points"] if p["piece"] == row["id"] and str(p["point"]) == row["number"]]
        elif row["what"] in ("shelf", "bracket"):
            key = "shelf_ok" if row["what"] == "shelf" else "fixings_ok"
            ok = [s[key] for s in loads["shelves"] if s["id"] == row["id"]]
        elif row["what"] == "frame":
            ok = [loads["frame"]["ok"]]
        else:
            ok = [one["ok"] for one in kinds.get(row["what"], loads["tables"]) if one["id"] == row["id"]]
        assert [word_of[one] for one in ok] == [row["holds"]], ("CSV", row, ok)
    assert sum(row["what"] == "point" for row in rows) == len(loads["points"])

    packing = run("packing", "plan.json", "--json")
    told = json.loads(packing.stdout)
    assert told["loads_ok"] == loads["ok"] and packing.returncode == done.returncode, "packing"
    for finding in loads["findings"]:
        assert not wrong or (finding in wrong) == (name_of(finding, plan, titles) in re.split(r": |; |\.(?: |$)", told["warning"])), told
    assert (told["warning"] in run("packing", "plan.json").stdout) or not wrong

    sheet = run("sheet", "plan.json", "-o", "sheet.pdf")
    first = packed(subprocess.run(["pdftotext", "-l", "1", "sheet.pdf", "-"], capture_output=True, text=True).stdout)
    assert sheet.returncode == done.returncode
    assert ("STOP:" in first) == (loads["ok"] is False), "sheet"
    assert ("NOTKNOWNwhetheritholds" in first) == (nowhere or any(f["ok"] is None for f in wrong)), "sheet"
    for ok in (False, None):
        for finding in [f for f in wrong if f["ok"] is ok][:12]:
            assert packed(name_of(finding, plan, titles)) in first, ("sheet", finding, first)

    wall = run("elevation", "plan.json", "-o", "wall.pdf", "--paper", "a3")
    drawn = subprocess.run(["pdftotext", "-raw", "wall.pdf", "-"], capture_output=True, text=True).stdout
    assert ("STOP:" in packed(drawn)) == (loads["ok"] is False), "drawing"
    assert ("hang nothing" in wall.stderr) == bool(wrong), wall.stderr
    assert ("no piece has a place yet" in wall.stderr) == nowhere and wall.returncode >= (loads["ok"] is not True), wall.stderr
    sheets = drawn.split("\f")[:-1]
    pages = len(sheets)
    if pages == 2:  # the wall, and the list of pieces with its key
        pieces = {}
        for piece in plan["pieces"]:
            if "at" not in piece:
                continue
            id, on = piece["id"], piece["mount"].get("on")
            oks = [p["ok"] for p in loads["points"] if p["piece"] == id]
            oks += [s["ok"] for s in loads["shelves"] if s["id"] == on]
            if piece["mount"]["kind"] == "table":
                oks += [t["ok"] for t in loads["tables"] if t["rated_n"]]
            if oks:
                pieces[id] = False if False in oks else None if None in oks else True
        for ok, sign in ((False, "!"), (None, "?")):
            marks = sum((f["last"] - f["first"] + 1) if f["of"] == "points" else 1 for f in wrong if f["ok"] is ok)
            in_list = 1 + sum(state is ok for state in pieces.values())  # one in the key
            found = [sheet.count(sign) for sheet in sheets]
            assert found == [marks, in_list], ("drawing", sign, found, marks, in_list, wrong)
    return loads["ok"], pages

seen = []
for number in range(int(sys.argv[3])):
    kind = number % 3
    seen.append(check(one_plan()))
for pieces in ([{}], [{"weight_g": 500, "mount": {"kind": "hook", "rated_kg": 10}}, {"weight_g": 90, "mount": {"kind": "nail", "rated_kg": 9}}]):
    named = [{"id": f"p{i}", "title": f"Piece {'AB'[i]}", "width": 20, "height": 20, "mount": {"kind": "nail"}} | one for i, one in enumerate(pieces)]
    assert check({"backcloth": 1, "title": "T", "stand": {"width": 300, "wall_height": 240}, "packing": {"bag_kg": 900}, "pieces": named})[0] is None
# The plans are of all three kinds, so that nothing is agreed upon in vain.
assert {ok for ok, _ in seen} == {True, False, None} and any(pages == 2 for _, pages in seen), seen
PYTHON
expect 0 -- /usr/bin/python3 agree.py "$BACKCLOTH" "${SEED:-1}" "${PLANS:-6}"
done_testing
