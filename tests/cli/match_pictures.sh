#!/bin/sh
# The pictures of a match: board, two cloths side by side and landscape, in every format; many pieces on
# several sheets; nothing half written when something is wrong.
. "$(dirname "$0")/lib"
photos="$demo/photos/cuff.jpg $demo/photos/moon-jar.jpg"
masks=$demo/masks

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

# shellcheck disable=SC2086
expect 64 'two cloths' -- "$BACKCLOTH" match $photos --masks "$masks" --cloth black --compare one.png
absent one.png
# shellcheck disable=SC2086
expect 64 '.png, .pdf or .svg' -- "$BACKCLOTH" match $photos --masks "$masks" --cloth black --landscape land.gif
absent land.gif
done_testing
