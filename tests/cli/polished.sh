#!/bin/sh
# Silver is judged for the room of its photo and for the stand; velvet is darker than its chip.
. "$(dirname "$0")/lib"

p="$demo/photos"
expect 0 'polished: 80 % of it mirrors' 'perhaps [0-9]* % of it mirrors' 'at the stand it will show the cloth' -- sh -c \
  "'$BACKCLOTH' match '$p/cuff.jpg' '$p/ring.jpg' --cloth black --polished cuff.jpg=80 --polished ring.jpg --why best; \
   '$BACKCLOTH' match '$p/cuff.jpg' --cloth black --polished cuff.jpg=80"
expect 0 -- "$BACKCLOTH" match "$p/cuff.jpg" "$p/moon-jar.jpg" --cloth 'plum velvet' --cloth plum --polished cuff.jpg --json
python3 - out.txt <<'PYTHON' || fail "polished in JSON"
import json, sys
m = json.load(open(sys.argv[1]))
velvet, plain = sorted(m["cloths"], key=lambda c: not c["pile"])
assert velvet["pile"] and not plain["pile"] and velvet["lab"][0] < plain["lab"][0] - 5
for cloth in m["cloths"]:
    cuff, jar = cloth["pieces"]
    assert jar["polished"] is None
    told = cuff["polished"]
    assert told["estimated"] and 0.2 <= told["mirror_share"] <= 1
    both = told["as_photographed"]["clarity"], told["at_stand"]["clarity"]
    assert abs(cuff["clarity"] - sum(both) / 2) < 1e-5 and cuff["clarity_sd"] >= abs(both[0] - both[1]) / 2 - 1e-5
PYTHON
expect 64 'is not one of the photos' -- "$BACKCLOTH" match "$p/cuff.jpg" --cloth black --polished bowl.jpg
expect 64 'with 1 to 100 per cent' -- "$BACKCLOTH" match "$p/cuff.jpg" --cloth black --polished cuff.jpg=120

# In a plan, and on stored readings.
sed "s|\"photo\": \"photos/|\"photo\": \"$demo/photos/|; s|\"id\": \"cuff\",|& \"polished\": true,|" "$demo/plan-venn.json" >polished.json
expect 0 'Polished, with the share of each that mirrors: cuff' -- "$BACKCLOTH" match --plan polished.json --cloth black
expect 0 -- "$BACKCLOTH" read --stored "$p/cuff.jpg"
cp out.txt readings
expect 0 'cuff (70 %)' -- "$BACKCLOTH" match --readings readings --cloth black --polished cuff.jpg=70
