#!/bin/sh
# The pictures of a match: board, two cloths side by side and landscape, in every format; many pieces on
# several sheets; nothing half written when something is wrong.
. "$(dirname "$0")/lib"
photos="$demo/photos/cuff.jpg $demo/photos/moon-jar.jpg"
masks=$demo/truth

for suffix in png pdf svg; do
  # shellcheck disable=SC2086
  expect 0 -- "$BACKCLOTH" match $photos --masks "$masks" --width 6.5 --width 30 --cloth '#121113' --cloth '#e6dac1' \
    -o "board.$suffix" --compare "pair.$suffix" --landscape "landscape.$suffix"
  for picture in board pair landscape; do [ -s "$picture.$suffix" ] || fail "$picture.$suffix is not there"; done
done

# The words of the pictures, as a PDF reader finds them (pdftotext of poppler).
pdftotext -layout pair.pdf pair.txt
for words in 'shows the collection better' 'of the outline is clear' 'made out up to' 'gets lost'; do
  grep -q "$words" pair.txt || fail "the pair does not say '$words': $(head -c 300 pair.txt)"
done
pdftotext -layout landscape.pdf landscape.txt
for words in 'Your cloths' 'Colours to look for' 'at least one piece gets lost'; do
  grep -q "$words" landscape.txt || fail "the landscape does not say '$words'"
done
pdftotext -layout board.pdf board.txt
for words in 'best overall' 'clear' ' ft'; do grep -q "$words" board.txt || fail "the board does not say '$words'"; done

# Thirty-six pieces: three sheets of twelve.
many=
for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18; do many="$many $photos"; done
# shellcheck disable=SC2086
expect 0 -- "$BACKCLOTH" match $many --masks "$masks" --cloth black --cloth "photo:$demo/cloths/twill.jpg" -o many.pdf
[ "$(pdfinfo many.pdf | sed -n 's/^Pages: *//p')" = 3 ] || fail "36 pieces on $(pdfinfo many.pdf | grep Pages)"
pdftotext many.pdf many.txt
grep -q 'cloths/twill' many.txt && fail "a photographed cloth is named by its path"

# Clear glass lets the cloth through: the vase is nearer to each cloth than its photo alone says.
"$BACKCLOTH" match --json "$demo/photos/vase.jpg" --masks "$masks" --cloth '#22432f' >opaque.json
expect 0 -- "$BACKCLOTH" match --json "$demo/photos/vase.jpg" --masks "$masks" --cloth '#22432f' --see-through vase.jpg
python3 - opaque.json out.txt <<'PYTHON' || fail "a vase with the cloth showing through"
import json, sys
opaque, clear = (json.load(open(f))["cloths"][0]["pieces"][0] for f in sys.argv[1:3])
assert clear["delta_e00"] < opaque["delta_e00"] - 5 and clear["clarity"] < opaque["clarity"], (opaque, clear)
PYTHON
expect 64 'is not one of the photos' -- "$BACKCLOTH" match "$demo/photos/vase.jpg" --cloth black --see-through jar.jpg
expect 64 'not understood' -- "$BACKCLOTH" match "$demo/photos/vase.jpg" --cloth black --see-through vase.jpg=much

# shellcheck disable=SC2086
expect 64 'two cloths' -- "$BACKCLOTH" match $photos --masks "$masks" --cloth black --compare one.png
absent one.png
# shellcheck disable=SC2086
expect 64 '.png, .pdf or .svg' -- "$BACKCLOTH" match $photos --masks "$masks" --cloth black --landscape land.gif
absent land.gif
# Without a cloth, colours are searched and ranked; each says what weave it bears.
expect 0 'Colours to look for' 'plain' '1. ' -- "$BACKCLOTH" match "$demo/photos/jar.jpg" "$demo/photos/cuff.jpg" --suggest 3
expect 0 -- "$BACKCLOTH" match "$demo/photos/jar.jpg" --suggest 2 --json
python3 - <<'PYTHON' || fail "suggestions without a cloth"
import json
match = json.load(open("out.txt"))
assert len(match["suggested"]) == 2 and len(match["cloths"]) == 2, match["suggested"]
assert {c["cloth"] for c in match["cloths"]} == {s["css"] for s in match["suggested"]}
assert all(s["weave_l"] in (0, 2, 4, 6, 8, 12) for s in match["suggested"])
PYTHON
expect 64 '--suggest' -- "$BACKCLOTH" match "$demo/photos/jar.jpg"

done_testing
