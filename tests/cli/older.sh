#!/bin/sh
# Plans of every released version open, keep what they said, and go through the whole line.
. "$(dirname "$0")/lib"
: >wanted
for plan in "$SOURCE"/tests/data/plans/*/*.json; do
  name=$(basename "$(dirname "$plan")")-$(basename "$plan")
  sed "s|\"photos/|\"$demo/photos/|g" "$plan" >"$name" # their photos are the demo's
  for command in 'plan check' 'loads --json' 'packing --json' "arrange -o arranged-$name"; do
    # shellcheck disable=SC2086
    "$BACKCLOTH" $command "$name" >out.txt 2>out.err
    got=$?
    checks=$((checks + 1))
    case $got in 0 | 1) ;; *) fail "$command $name: exit $got: $(head -c 300 out.err)" ;; esac
  done
  python3 - "$name" "arranged-$name" <<'PYTHON' || fail "$name: something that it said is lost"
import json, sys
before, after = (json.load(open(p, encoding="utf-8")) for p in sys.argv[1:])
assert before["backcloth"] == after["backcloth"] == 1 and before["title"] == after["title"]
assert all(after["stand"].get(k) == v for k, v in before["stand"].items()), "stand"
ids = {p["id"]: p for p in after["pieces"]}
for piece in before["pieces"]:
    for key in ("width", "height", "weight_g", "title", "role", "count"):
        assert piece.get(key) == ids[piece["id"]].get(key), (piece["id"], key)
PYTHON
done
[ "$checks" -ge 12 ] || fail "only $checks checks: where are the kept plans?"
done_testing
