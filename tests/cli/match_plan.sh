#!/bin/sh
# A plan gives the photos, sizes, tables and distance; wall cloth and table cloth are chosen together.
. "$(dirname "$0")/lib"

expect 0 'Wall and table together' 'on the table' -- "$BACKCLOTH" match --plan "$demo/plan.json" --masks "$demo/truth" \
  --cloths "$demo/cloths.json" --table-cloth '#e6dac1' --table-cloth '#121113'
expect 0 -- "$BACKCLOTH" match --json --plan "$demo/plan.json" --masks "$demo/truth" --cloth '#22432f' --cloth '#f1efe9' \
  --table-cloth '#e6dac1' --table-cloth '#121113'
python3 - out.txt "$demo/plan.json" <<'PYTHON' || fail "match of a plan"
import json, os, sys
m, plan = (json.load(open(f)) for f in sys.argv[1:3])
assert m["distance_m"] == plan["viewers"]["distance"] / 100
sized = {os.path.basename(p["photo"]): p["width"] for p in plan["pieces"] if "photo" in p}
assert len(m["cloths"]) == 2, "the plan's own cloth was named already"
for cloth in m["cloths"]:
    assert len(cloth["pieces"]) == len(sized)
    for p in cloth["pieces"]:
        seen = p["seen_from"]
        assert seen["width_cm"] == sized[os.path.basename(p["photo"])] and len(seen["sweep"]) == 10
t = m["together"]
assert len(t) == 4 and t[0]["rank"] == 1 and [x["score"] for x in t] == sorted((x["score"] for x in t), reverse=True)
assert {(x["wall"], x["table"]) for x in t} == {(c["name"], d) for c in m["cloths"] for d in {x["table"] for x in t}}
PYTHON

# A photo beside the plan's, with its own width; a distance of one's own.
expect 0 -- "$BACKCLOTH" match --json --plan "$demo/plan-venn.json" --masks "$demo/truth" --cloth black --distance 2 \
  --width 30 "$demo/photos/moon-jar.jpg"
grep -q '"distance_m":2' out.txt || fail "the distance asked for is not the one told"
grep -q '"width_cm":30' out.txt || fail "the width of the photo beside the plan is lost"

expect 64 'needs --plan' -- "$BACKCLOTH" match "$demo/photos/cuff.jpg" --cloth black --table-cloth white
expect 64 'at least one photo' -- "$BACKCLOTH" match --cloth black
expect 64 'given 2 times, but the number of photos on the command line is 1' -- "$BACKCLOTH" match "$demo/photos/cuff.jpg" --cloth black --width 2 --width 3
expect 66 -- "$BACKCLOTH" match --plan nowhere.json --cloth black
done_testing
