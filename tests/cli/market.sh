#!/bin/sh
# During the market: pieces are sold one after the other and one comes in. What is not named as moved stays where it
# was, loads hold after every step, and the list of what was sold grows in the plan itself.
. "$(dirname "$0")/lib"
cp "$demo/plan.json" day.json
ln -s "$demo/photos" photos
ln -s "$demo/cloths" cloths

step() { # step WHAT PIECE: changes the plan of the day and compares it with what it says
  mv day.json before.json
  expect 0 -- "$BACKCLOTH" plan "$1" "$2" before.json -o day.json --json
  python3 - "$1" "$2" <<'PYTHON' || fail "plan $1 $2: $(cat out.txt)"
import json, sys
what, which = sys.argv[1:]
before, after, said = json.load(open("before.json")), json.load(open("day.json")), json.load(open("out.txt"))
old, new = ({p["id"]: p for p in plan["pieces"]} for plan in (before, after))
moved = {m["piece"]: m for m in said["moves"]}
assert len(moved) <= 3, moved
for piece, p in new.items():
    if piece == which and what == "add":
        continue
    was = old[piece].get("at")
    if piece in moved:
        m = moved[piece]
        assert m["from"] == was and m["to"] == p["at"] and was != p["at"], (m, was, p["at"])
        assert any(p["title"] in step for step in said["steps"]), said["steps"]
    else:
        assert p.get("at") == was, (piece, was, p.get("at"))
gone = set(old) - set(new)
if what == "sold":
    count = old[which].get("count", 1)
    assert gone == ({which} if count == 1 else set()), gone
    assert count == 1 or new[which].get("count", 1) == count - 1
    assert said["sold"] == [dict(piece=s["id"], title=s["title"], sold=s.get("count", 1),
                                 left=new[s["id"]].get("count", 1) if s["id"] in new else 0) for s in after["sold"]]
    assert sum(s.get("count", 1) for s in after["sold"]) == sum(s.get("count", 1) for s in before.get("sold", [])) + 1
    assert any(old[which]["title"] in line for line in said["restock"]), said["restock"]
PYTHON
  # 0 and 1 both tell of what holds; what did not hold must not grow
  "$BACKCLOTH" loads day.json --json >loads.json 2>out.err || [ $? = 1 ] || fail "loads: $(cat out.err)"
  python3 -c 'import json; wrong = [p for p in json.load(open("loads.json"))["points"] if p["ok"] is False]; assert not wrong, wrong' ||
    fail "after $1 $2 something does not hold"
  expect 0 -- "$BACKCLOTH" plan check day.json
}

for piece in basket-handles basket-handles basket-handles moon-jar banner bottle; do step sold "$piece"; done
expect 65 'no piece' -- "$BACKCLOTH" plan sold banner day.json
# The last one found in a bag: it goes up again without its old place.
python3 - "$demo/plan.json" <<'PYTHON'
import json, sys
day, first = json.load(open("day.json")), json.load(open(sys.argv[1]))
jar = next(p for p in first["pieces"] if p["id"] == "moon-jar")
del jar["at"]
day["pieces"].append(jar)
json.dump(day, open("day.json", "w"))
PYTHON
step add moon-jar
python3 -c 'import json; assert next(p for p in json.load(open("day.json"))["pieces"] if p["id"] == "moon-jar")["at"]' ||
  fail "the piece that came in has no place"
# Either order of piece and plan, and words with what is left.
expect 0 'Sold so far' '1 sold, 5 left' -- "$BACKCLOTH" plan sold day.json bowl -o evening.json
grep -q '"sold"' evening.json || fail "the plan does not keep what was sold"
done_testing
