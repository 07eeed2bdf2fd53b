#!/bin/sh
# What arrange says holds: one score in one order, every style it names can be had, cords and nails have their space,
# nothing hangs past the cloth's edge, and what is left off is told with its cause.
. "$(dirname "$0")/lib"

stand='"backcloth":1,"title":"Wall","stand":{"width":300,"wall_height":240}'
cat >panel.json <<JSON
{$stand,"grids":[{"id":"g","x":60,"y":90,"width":120,"height":120,"mesh":5,"rated_kg":2}],
 "pieces":[{"id":"pan","width":30,"height":40,"weight_g":5000,"mount":{"kind":"hook","points":1,"on":"g","rated_kg":50}}]}
JSON
cord='"weight_g":500,"mount":{"kind":"cord","points":2,"cord_angle":20,"rated_kg":50}'
cat >cords.json <<JSON
{$stand,"gap":8,"pieces":[
{"id":"a","width":20,"height":30,$cord},{"id":"b","width":20,"height":30,$cord},{"id":"c","width":24,"height":24,$cord},
{"id":"d","width":40,"height":50,$cord},{"id":"e","width":15,"height":15,$cord}]}
JSON
hook='"weight_g":500,"mount":{"kind":"hook","points":1,"rated_kg":50}'
cat >cloth.json <<JSON
{$stand,"cloth":{"colour":"#223344","width":140,"height":110,"top":220,"left":80},"gap":8,"pieces":[
{"id":"a","width":60,"height":60,$hook},{"id":"b","width":60,"height":60,$hook},
{"id":"c","width":60,"height":60,$hook},{"id":"d","width":60,"height":60,$hook}]}
JSON

# An overloaded panel is named, not "no room", and an empty wall has no score.
expect 1 '"cause":"rating"' 'panel \"g\"' -- "$BACKCLOTH" arrange panel.json --json
python3 - <<'PYTHON' || fail "an empty wall has a score"
import json, sys
sys.exit(any(a["score"] > 0 for a in json.load(open("out.txt"))["arrangements"]))
PYTHON

# Nails are neither behind a neighbour nor within the gap beside one, and nor are the cords' spans.
expect 0 -- "$BACKCLOTH" arrange cords.json --json
python3 - <<'PYTHON' || fail "a cord or nail is too near a neighbour"
import json, math, sys
plan = {p["id"]: p for p in json.load(open("cords.json"))["pieces"]}
wrong = 0
for a in json.load(open("out.txt"))["arrangements"]:
    boxes = []
    for place in a["places"]:
        p, (x, y) = plan[place["piece"]], place["at"]
        top = y + p["height"] / 2
        boxes.append((place["piece"], x - p["width"] / 2, x + p["width"] / 2, y - p["height"] / 2, top))
        # Two legs from the quarter points, up by a quarter of the width: at 20 degrees they end beside the piece.
        rise = p["width"] / 4
        half = rise + rise / math.tan(math.radians(20))
        boxes.append((place["piece"], x - half, x + half, top, top + rise))
    for i, one in enumerate(boxes):
        for other in boxes[:i]:
            if one[0] == other[0]:
                continue
            across = max(one[1], other[1]) - min(one[2], other[2])
            upright = max(one[3], other[3]) - min(one[4], other[4])
            wrong += across < 8 - 0.11 and upright < 8 - 0.11
sys.exit(wrong)
PYTHON

# A cloth that ends above the floor and before the wall does: on it or left off.
expect 1 '"cause":"room"' -- "$BACKCLOTH" arrange cloth.json --json
python3 - <<'PYTHON' || fail "a piece hangs past the cloth's edge"
import json, sys
wrong = 0
for a in json.load(open("out.txt"))["arrangements"]:
    for place in a["places"]:
        if "at" not in place:
            continue
        x, y = place["at"]
        wrong += not (80 <= x - 30 + 0.01 and x + 30 <= 220.01 and y - 30 >= 109.99 and y + 30 <= 220.01)
sys.exit(wrong)
PYTHON

# Every style can be had, also where two come out the same; text and JSON tell one list.
for plan in panel cords cloth; do
  for style in 'centred group' 'level rows' satellites; do
    "$BACKCLOTH" arrange $plan.json --style "$style" -o $plan.out.json >out.txt 2>out.err
    [ $? -le 1 ] || fail "$plan: --style '$style': $(cat out.err)"
  done
done
"$BACKCLOTH" arrange cords.json >words.txt 2>out.err
"$BACKCLOTH" arrange cords.json --json >out.txt 2>out.err
python3 - <<'PYTHON' || fail "text and JSON tell different scores"
import json, re, sys
told = [int(n) for n in re.findall(r"^\d\. .*: (\d+) of 100", open("words.txt").read(), re.M)]
sys.exit(told != [round(a["score"]) for a in json.load(open("out.txt"))["arrangements"]])
PYTHON

# Proposed groups and reasons speak both units, the one asked for first; the plan keeps its own.
expect 0 'up to 60 cm (23⅝ in) by 60 cm (23⅝ in)' -- "$BACKCLOTH" arrange cloth.json --groups
expect 0 'up to 23⅝ in (60 cm) by 23⅝ in (60 cm)' -- "$BACKCLOTH" arrange cloth.json --groups --units imperial
expect 1 'with 3⅛ in (8 cm) between pieces' -- "$BACKCLOTH" arrange cloth.json --units imperial -o kept.json
grep -q imperial kept.json && fail "arrange --units changes the plan's units"

# The statement piece moves before anything is left off: in the focus it would leave no room for the other.
cat >moves.json <<JSON
{"backcloth":1,"title":"Wall","stand":{"width":200,"wall_height":240},"gap":8,"pieces":[
{"id":"banner","width":80,"height":90,"role":"statement",$hook},{"id":"teapots","width":100,"height":90,$hook}]}
JSON
expect 0 '"state":"placed"' -- "$BACKCLOTH" arrange moves.json --json
python3 - <<'PYTHON' || fail "the statement piece does not make room"
import json, sys
best = json.load(open("out.txt"))["arrangements"][0]
sys.exit(any(place["state"] != "placed" for place in best["places"]))
PYTHON

# A name in Latin letters between Arabic words keeps its place: marks of direction stand about it.
python3 - "$SOURCE" <<'PYTHON' || fail "the Arabic number of the sheet loses its order"
import pathlib, re, sys
text = (pathlib.Path(sys.argv[1]) / "assets/locale/ar.po").read_text(encoding="utf-8")
found = re.search(r'^msgid "%s, %d of %d"\nmsgstr "(.*)"', text, re.M)
sys.exit(not found or not found[1].startswith("\u200f%s\u200f"))
PYTHON
done_testing
