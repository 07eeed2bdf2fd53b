#!/bin/sh
# A programme spread over jobs: readings made by several at once give the same lines, matches from these lines the
# same bytes as from the photos, and makers' sheets made one job each are the same as those of one run. The jobs are
# run by GNU parallel, the general tool.
. "$(dirname "$0")/lib"
command -v parallel >/dev/null 2>&1 || fail "GNU parallel is not installed: sh .ci/install test"
set -- jar ring scarf-rings basket-round cuff
for piece in "$@"; do cp "$demo/photos/$piece.jpg" .; done
textile=$(ls "$demo"/cloths/*.jpg | head -1)

expect 0 '"stored"' -- "$BACKCLOTH" read --stored jar.jpg ring.jpg scarf-rings.jpg basket-round.jpg cuff.jpg
cp out.txt one.ndjson
for jobs in 1 2 4; do
  printf '%s.jpg\n' "$@" | parallel -j "$jobs" --keep-order "$BACKCLOTH" read --stored {} >many.ndjson 2>many.err ||
    fail "parallel -j $jobs: $(cat many.err)"
  cmp -s one.ndjson many.ndjson || fail "$jobs jobs give other readings than one run"
done

# The same figures without the photos at hand, from a file and from standard input.
expect 0 '"cloths"' -- "$BACKCLOTH" match jar.jpg ring.jpg scarf-rings.jpg basket-round.jpg cuff.jpg \
  --cloth '#1f2430' --cloth "photo:$textile" --suggest 2 --width 30 --width 2 --json
cp out.txt photos.json
mkdir elsewhere
mv many.ndjson elsewhere
expect 0 -- "$BACKCLOTH" match --readings elsewhere/many.ndjson --cloth '#1f2430' --cloth "photo:$textile" --suggest 2 \
  --width 30 --width 2 --json
cmp -s out.txt photos.json || fail "a match from stored readings differs"
"$BACKCLOTH" match --readings - --cloth '#1f2430' --cloth "photo:$textile" --suggest 2 --width 30 --width 2 --json \
  <elsewhere/many.ndjson >out.txt 2>out.err || fail "standard input: $(cat out.err)"
cmp -s out.txt photos.json || fail "a match from standard input differs"
# Photos and readings together: the photos first.
head -n 2 one.ndjson >two.ndjson
expect 0 'cuff.jpg' -- "$BACKCLOTH" match cuff.jpg --readings two.ndjson --cloth black --json
python3 -c 'import json
photos = [p["photo"] for p in json.load(open("out.txt"))["cloths"][0]["pieces"]]
assert photos == ["cuff.jpg", "jar.jpg", "ring.jpg"], photos' || fail "photos and readings together"

# A line that is no reading costs only itself; what has no pictures draws none.
{ head -n 1 one.ndjson; echo '{"photo":"x.jpg"}'; sed -n 2p one.ndjson | head -c 900; } >torn.ndjson
expect 65 'line 2' 'line 3' -- "$BACKCLOTH" match --readings torn.ndjson --cloth black
grep -q "The piece stands out" out.txt || fail "the good line was lost: $(cat out.txt)"
: >empty.ndjson
expect 64 -- "$BACKCLOTH" match --readings empty.ndjson --cloth black
expect 66 -- "$BACKCLOTH" match --readings nowhere.ndjson --cloth black
expect 64 'no pictures' -- "$BACKCLOTH" match --readings one.ndjson --cloth black -o board.png
absent board.png
# Three pieces of one photo have one width between them.
expect 0 -- "$BACKCLOTH" match jar.jpg --split --cloth black --width 20

# A maker a job.
for maker in quarrow venn lindqvist; do mkdir -p "makers/$maker"; done
cp jar.jpg basket-round.jpg makers/quarrow
cp ring.jpg cuff.jpg makers/venn
cp scarf-rings.jpg makers/lindqvist
expect 0 -- "$BACKCLOTH" feedback makers/lindqvist makers/quarrow makers/venn -o together --cloths "$demo/cloths.json" --json
cp out.txt together.ndjson
for jobs in 1 3; do
  mkdir "apart$jobs"
  ls makers | parallel -j "$jobs" --keep-order "$BACKCLOTH" feedback makers/{} -o "apart$jobs/{}" \
    --cloths "$demo/cloths.json" --jobs 1 --json >apart.ndjson 2>apart.err || fail "parallel -j $jobs: $(cat apart.err)"
  cmp -s together.ndjson apart.ndjson || fail "$jobs jobs tell something else of the makers than one run"
  for maker in quarrow venn lindqvist; do
    for sheet in feedback.html feedback.pdf; do
      cmp -s "together/$maker/$sheet" "apart$jobs/$maker/$maker/$sheet" || fail "$maker/$sheet differs with $jobs jobs"
    done
  done
done

# All jobs into one folder; a last run then has only the index to make.
ls makers | parallel -j 3 "$BACKCLOTH" feedback makers/{} -o shared --cloths "$demo/cloths.json" --jobs 1 >many.txt 2>many.err ||
  fail "jobs that share a folder: $(cat many.err)"
expect 0 '0 sheets made, 3 unchanged' ': 0 read now' -- "$BACKCLOTH" feedback makers/lindqvist makers/quarrow makers/venn \
  -o shared --cloths "$demo/cloths.json"
for file in index.html makers.csv quarrow/feedback.pdf venn/feedback.html; do
  cmp -s "together/$file" "shared/$file" || fail "$file differs when jobs share a folder"
done

done_testing
