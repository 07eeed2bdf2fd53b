#!/bin/sh
# Feedback at scale: the same bytes with any number of jobs, killed in mid-run and taken up again, and makers' folders
# with a torn photo, a photo that may not be read, a wrong plan, no photo at all, or far too many files: each costs
# only itself.
. "$(dirname "$0")/lib"
mkdir -p makers/quarrow makers/venn makers/lindqvist makers/nadir makers/silent makers/heap
cp "$demo/photos/jar.jpg" "$demo/photos/vase.jpg" "$demo/photos/basket-round.jpg" makers/quarrow
cp "$demo/photos/ring.jpg" "$demo/photos/cuff.jpg" makers/venn
cp "$demo/photos/scarf-rings.jpg" makers/lindqvist

# ---- jobs ----
for jobs in 1 2 4; do
  expect 0 -- "$BACKCLOTH" feedback makers/quarrow makers/venn makers/lindqvist -o "jobs$jobs" --cloths "$demo/cloths.json" \
    --language es,ar --jobs "$jobs" --json
  mv out.txt "jobs$jobs.ndjson"
done
for jobs in 2 4; do
  cmp -s jobs1.ndjson "jobs$jobs.ndjson" || fail "$jobs jobs tell something else than one"
  for file in index.html makers.csv quarrow/feedback.pdf venn/feedback.html lindqvist/feedback.pdf; do
    cmp -s "jobs1/$file" "jobs$jobs/$file" || fail "$file differs with $jobs jobs"
  done
done
grep -q 'lang="es"' jobs1/venn/feedback.html && grep -q 'lang="ar" dir="rtl"' jobs1/venn/feedback.html ||
  fail "the page has not both languages"

# ---- killed: nothing half-written is left under a sheet's name, and the next run gives what one run would ----
"$BACKCLOTH" feedback makers/quarrow makers/venn makers/lindqvist -o killed --cloths "$demo/cloths.json" \
  --language es,ar --jobs 1 >/dev/null 2>&1 &
run=$!
tries=0
until [ -s killed/quarrow/feedback.pdf ] || [ $tries -ge 600 ]; do
  sleep 0.05
  tries=$((tries + 1))
done
# The worker goes first: its parent would see it die and start another.
kill -STOP $run 2>/dev/null
for worker in $(cat /proc/$run/task/$run/children 2>/dev/null); do kill -9 "$worker" 2>/dev/null; done
kill -9 $run 2>/dev/null
wait $run 2>/dev/null
for sheet in killed/*/feedback.pdf; do
  [ ! -e "$sheet" ] || pdfinfo "$sheet" >/dev/null 2>&1 || fail "$sheet was left half-written"
done
expect 0 -- "$BACKCLOTH" feedback makers/quarrow makers/venn makers/lindqvist -o killed --cloths "$demo/cloths.json" \
  --language es,ar --jobs 2 --json
cmp -s out.txt jobs1.ndjson || fail "after being killed another tale is told"
for file in index.html makers.csv quarrow/feedback.pdf venn/feedback.html lindqvist/feedback.pdf; do
  cmp -s "jobs1/$file" "killed/$file" || fail "$file differs after being killed"
done

# ---- what is broken costs only itself ----
head -c 4000 "$demo/photos/bowl.jpg" >makers/nadir/torn.jpg
cp "$demo/photos/vase.jpg" makers/nadir/vase.jpg
ln -s nowhere.jpg makers/nadir/gone.jpg
printf '{"format":"backcloth-plan","pieces":"none"}\n' >makers/nadir/plan.json
printf '{"cloths":[{"name":"x"}]}\n' >makers/nadir/cloths.json
printf 'I have no photos yet.\n' >makers/silent/notes.txt
(cd makers/heap && seq -f '%g.txt' 2001 | xargs touch)
expect 65 'torn.jpg' 'gone.jpg' 'plan.json' 'cloths.json' '2000 files' -- "$BACKCLOTH" feedback makers/* -o broken \
  --cloths "$demo/cloths.json" --json
cp out.txt broken.ndjson
python3 - <<'PYTHON' || fail "the lines of broken folders"
import json
makers = {json.loads(line)["maker"]: json.loads(line) for line in open("broken.ndjson")}
assert set(makers) == {"lindqvist", "nadir", "quarrow", "silent", "venn"}, set(makers)
nadir = makers["nadir"]
assert nadir["photos"] == 3 and nadir["not_read"] == 2 and nadir["pieces"] == 1 and nadir["plan_failed"], nadir
told = " ".join(l["text"] for s in nadir["sections"] if s["part"] == "not_read" for l in s["lines"])
for name in ("torn.jpg", "gone.jpg", "plan.json", "cloths.json"):
    assert name in told, (name, told)
assert makers["silent"]["pieces"] == 0 and makers["quarrow"]["not_read"] == 0
PYTHON
for maker in lindqvist nadir quarrow silent venn; do [ -s broken/$maker/feedback.pdf ] || fail "$maker has no sheet"; done
absent broken/heap/feedback.pdf
# Told again the second time, though nothing is read again.
expect 65 'torn.jpg' 'gone.jpg' 'plan.json' '2000 files' -- "$BACKCLOTH" feedback makers/* -o broken \
  --cloths "$demo/cloths.json"
grep -q '^0 sheets made, 5 unchanged, 1 not possible' out.txt || fail "not as before: $(cat out.txt)"
grep -q ': 0 read now, 2 could not be read' out.txt || fail "photos are counted otherwise: $(cat out.txt)"
# Another list of cloths, or a file outside the folder that changed, makes the sheets anew.
cp "$demo/cloths.json" list.json && sed -i '/photo/d; s/#121113"},/#121113"}/' list.json
expect 65 -- "$BACKCLOTH" feedback makers/nadir makers/venn -o broken --cloths list.json
grep -q '^2 sheets made, 0 unchanged' out.txt || fail "another list changed nothing: $(cat out.txt)"
sed -i 's/#121113/#151515/' list.json
expect 0 -- "$BACKCLOTH" feedback makers/venn -o broken --cloths list.json
grep -q '^1 sheet made, 0 unchanged' out.txt || fail "a changed list changed nothing: $(cat out.txt)"
rm broken/venn/feedback.pdf
expect 0 -- "$BACKCLOTH" feedback makers/venn -o broken --cloths list.json
[ -s broken/venn/feedback.pdf ] || fail "a lost sheet was not made again"

done_testing
