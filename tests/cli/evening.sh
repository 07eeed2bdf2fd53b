#!/bin/sh
# docs/evening.md: its commands, all of them, in its order, lead from the photos to the packed bag; and it says nothing of
# the result that is not so.
. "$(dirname "$0")/lib"
: >wanted
PATH=$(dirname "$BACKCLOTH"):$PATH
cp -r "$SOURCE/assets" assets
awk '/^```sh$/ {on = 1; next} /^```$/ {on = 0} on' "$SOURCE/docs/evening.md" >commands
[ "$(grep -c '^backcloth ' commands)" -ge 12 ] || fail "the page has few commands: $(cat commands)"
while IFS= read -r command; do
  case $command in
  'cd '*) cd "${command#cd }" || exit 1 ;;
  *)
    checks=$((checks + 1))
    sh -c "$command" >said.txt 2>said.err
    got=$?
    cat said.txt said.err >>all.txt
    [ "$got" = 0 ] || fail "exit $got: $command -- $(head -c 400 said.err)"
    ;;
  esac
done <commands
for file in board.png masks/eggs.mask.png first-plan.json arranged.json wall.png wall.pdf sheet.pdf after.json; do
  [ -s "$file" ] || fail "$file was not made"
done
grep -q '"?"' first-plan.json || fail "the first plan marks nothing as missing"
grep -q 'Leave off' all.txt && fail "something was left off: $(grep -A2 'Leave off' all.txt)"
grep -q '✗' all.txt | grep -v 'does not hold' && fail "something does not hold"
# …what it says of the weaker hook
sed 's/"rated_kg": 5/"rated_kg": 3/' plan.json >weak.json
expect 1 'Market basket' '3.5 kg' -- "$BACKCLOTH" arrange weak.json
# …and of cream
"$BACKCLOTH" match photos/*.jpg --masks masks --cloth '#22432f' --cloth '#1f2430' --cloth '#efe6d2' --json >match.json
python3 - <<'PYTHON' || fail "cream serves as well as the others"
import json
cloths = {c["cloth"]: c for c in json.load(open("match.json"))["cloths"]}
soft = {name: sum(p["verdict"] == "soft" for p in c["pieces"]) for name, c in cloths.items()}
print(soft, {name: c["score"] for name, c in cloths.items()})
assert soft["#efe6d2"] == 7 and soft["#22432f"] == 0 and cloths["#efe6d2"]["score"] < cloths["#22432f"]["score"]
PYTHON
cd "$folder" || exit 1
done_testing
