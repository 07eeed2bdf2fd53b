#!/bin/sh
# The drawing for a venue: as large as the sheet carries it, with a title block, and with what must not be hung on the
# first sheet; the aisle view speaks of one crowd.
. "$(dirname "$0")/lib"
export LANGUAGE=en LC_ALL=C.UTF-8
words_of() { # PDF PAGE
  pdftotext -f "$2" -l "$2" "$1" - | tr '\n' ' '
}

# A wall of 3 m by 2.4 m fills an A3 at 1:10, the largest scale of ISO 5455 that does; the list is on the next sheet.
sed '/"photo"/s/"photo": *"[^"]*", *//' "$demo/plan.json" >wall.json
expect 0 'at 1:10 on 2 sheets of A3' -- "$BACKCLOTH" elevation wall.json -o wall.pdf
words_of wall.pdf 1 | grep -q 'Drawn by.*Revision.*Number of the drawing.*Date' || fail "no title block, or filled in"

# An A4 carries it at 1:20, in languages whose letters stand higher, too.
for language in en hi ar; do
  export LANGUAGE=$language
  "$BACKCLOTH" elevation wall.json --paper a4 -o small.pdf 2>said
  grep -q '1:20' said || fail "$language: an A4 has the wall smaller than 1:20: $(cat said)"
done
export LANGUAGE=en

# What is known stands in the title block; what must not be hung stands on the first sheet.
cat >panel.json <<'JSON'
{"backcloth":1,"title":"One panel","stand":{"width":100,"wall_height":210,"depth":200},
 "drawing":{"author":"Petra Hallam","date":"2031-05-04","number":"SL-17","revision":"C"},
 "pieces":[{"id":"a","title":"Panel one","width":10,"height":21,"weight_g":2000,
            "mount":{"kind":"hook","rated_kg":0.5},"at":[50,150]}]}
JSON
expect 1 'Does not hold: Panel one' -- "$BACKCLOTH" elevation panel.json --scale 1:10 --paper a3 -o panel.pdf
[ "$(pdfinfo panel.pdf | sed -n 's/^Pages: *//p')" -le 3 ] || fail "a panel of 100 x 210 mm on more than three A3"
words_of panel.pdf 1 >said
for word in 'Petra Hallam' 2031-05-04 SL-17 'Does not hold: Panel one'; do
  grep -q "$word" said || fail "the first sheet lacks '$word'"
done

# The stand holds fewer people than are asked for: words, picture and figures name the same number.
expect 1 -- "$BACKCLOTH" elevation panel.json --view aisle --crowd 6 -o aisle.pdf
stood=$(sed -n 's/^With \([0-9]\) \(person\|people\) standing.*/\1/p' out.txt)
[ "$stood" -lt 6 ] || fail "the stand is too large for this test"
words_of aisle.pdf 1 | grep -Eq "$stood (person stands|people stand) in the stand" ||
  fail "words speak of $stood people, the picture of others: $(words_of aisle.pdf 1 | head -c 300)"
"$BACKCLOTH" elevation panel.json --json >out.json
python3 -c "
import json
crowds = json.load(open('out.json'))['aisle']['pieces'][0]['crowds']
assert crowds[6]['stood'] == $stood, crowds[6]" || fail "JSON speaks of another crowd"
done_testing
