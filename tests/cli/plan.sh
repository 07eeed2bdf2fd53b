#!/bin/sh
# Plans: started from photos, checked, in inches, grouped; sold and added with zones, panels and risers about.
. "$(dirname "$0")/lib"
mkdir photos
cp "$demo/photos/bowl.jpg" photos/Blue_bowl.JPG
cp "$demo/photos/vase.jpg" photos/
expect 0 'a plan with 2 pieces' '6 sizes are marked "?"' -- "$BACKCLOTH" plan start photos -o start.json
expect 73 'not written over' -- "$BACKCLOTH" plan start photos -o start.json
expect 64 'say where the plan goes' -- "$BACKCLOTH" plan start photos
expect 66 'no photo here' -- "$BACKCLOTH" plan start "$SOURCE/docs" -o none.json
expect 1 'pieces[1].height: a height is still missing' -- "$BACKCLOTH" plan check start.json
for command in arrange loads packing 'elevation -o x.png'; do
  # shellcheck disable=SC2086
  expect 65 'start.json, line' 'still missing' '5 more sizes' -- "$BACKCLOTH" $command start.json
done
[ ! -e x.png ] || fail 'a picture of a plan without sizes'
expect 0 -- /usr/bin/python3 -c 'import json,sys; p=json.load(open("start.json")); assert p["pieces"][0]["photo"]=="photos/Blue_bowl.JPG" and p["notes"]'

cat >inches.json <<'JSON'
{"backcloth": 1, "notes": "for the spring market", "title": "In inches", "units": "imperial",
 "stand": {"width": "10 ft", "wall_height": 94.5, "open_side": "left"},
 "tables": [{"id": "table", "x": 60, "width": 50, "depth": 24, "height": 29}],
 "risers": [{"id": "riser", "width": 16, "height": 6}],
 "zones": [{"kind": "keep-clear", "x": 100, "y": 45, "width": 6, "height": 6, "reason": "light switch"}],
 "grids": [{"id": "panel", "x": 2, "y": 20, "width": 24, "height": 60, "mesh": 3}],
 "chairs": [{"x": 90}],
 "pieces": [
  {"id": "banner", "width": "2 ft 6 in", "height": 20, "weight": 24, "role": "statement", "material": "wool"},
  {"id": "scarf", "width": 10, "height": 12, "weight": 5, "material": "wool", "mount": {"kind": "hook", "on": "panel"}},
  {"id": "jar", "width": 5, "height": 6, "depth": 5, "weight": "2 lb 3 oz", "count": 2, "mount": {"kind": "table", "on": "riser"}},
  {"id": "bowl", "width": 8, "height": 4, "depth": 8, "weight": 30, "mount": {"kind": "table", "on": "table"}},
  {"id": "late", "width": 9, "height": 9, "weight": 9, "mount": {"kind": "hook", "on": "panel"}}
 ]}
JSON
expect 0 'By material: 1 group' 'wool: "banner", "scarf"' -- "$BACKCLOTH" arrange inches.json --groups
expect 64 'cannot be grouped by' -- "$BACKCLOTH" arrange inches.json --group-by luck
expect 0 -- "$BACKCLOTH" arrange inches.json --group-by material -o placed.json
expect 0 'Nothing to change' -- sh -c '"$1" plan check placed.json | grep -v "^Worth" ; "$1" plan check placed.json | grep -q "^Must" || echo Nothing to change' sh "$BACKCLOTH"
expect 0 -- grep -q '"width": "2 ft 6 in"' placed.json
expect 0 -- grep -q 'for the spring market' placed.json
expect 0 -- "$BACKCLOTH" plan sold scarf placed.json -o sold.json
expect 0 -- sh -c '"$1" plan check sold.json' sh "$BACKCLOTH"
/usr/bin/python3 - <<'PYTHON'
import json
p = json.load(open("placed.json"))
for piece in p["pieces"]:
    if piece["id"] == "late":
        piece.pop("at")
json.dump(p, open("waiting.json", "w"))
PYTHON
expect 0 -- "$BACKCLOTH" plan add late waiting.json -o added.json
expect 0 -- sh -c '"$1" plan check added.json' sh "$BACKCLOTH"
expect 0 -- /usr/bin/python3 -c 'import json; assert [p for p in json.load(open("added.json"))["pieces"] if p["id"]=="late"][0]["at"]'
# A name that no plan can hold is told as that, and nothing is written.
mkdir odd && cp "$SOURCE/assets/demo/photos/bowl.jpg" "$(printf 'odd/bad\377\376.jpg')"
expect 65 'cannot stand in a plan' -- "$BACKCLOTH" plan start odd -o odd.json </dev/null
[ ! -e odd.json ] || fail "a plan is written without the photo"

done_testing
