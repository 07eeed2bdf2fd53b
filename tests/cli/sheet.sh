#!/bin/sh
# The set-up sheet: pages, tags, the QR code read back by zbar, paper sizes, right to left with a catalogue made
# here, exit codes.
. "$(dirname "$0")/lib"
expect 0 -- "$BACKCLOTH" sheet "$demo/plan.json" --masks "$demo/masks" -o sheet.pdf
pdfinfo sheet.pdf >info.txt
grep -q '^Pages: *2$' info.txt || fail "two pages for the demo: $(grep Pages info.txt)"
grep -q '^Tagged: *yes' info.txt || fail "not tagged"
grep -q '^Title: *Four makers' info.txt || fail "no title"
grep -q 'A4' info.txt || fail "not A4"
pdftotext -layout sheet.pdf text.txt
for words in 'Moonrise on the marsh, banner' '222 cm' '87½ in' 'licensed person' 'Ash-glazed bowl'; do
  grep -qF "$words" text.txt || fail "the sheet lacks '$words'"
done
pdftoppm -r 300 -png -f 1 -l 1 sheet.pdf page
zbarimg -q --raw page-1.png >code.txt 2>/dev/null
grep -qF '1 Moonrise on the marsh, banner clip y 222 x 66 122 178 234' code.txt || fail "QR code: $(head -c 200 code.txt)"
# No ink nearer than 8 mm to an edge, where printers do not reach.
pdftoppm -r 50 -gray sheet.pdf edge
for page in edge-*.pgm; do
  ink=$(convert "$page" -threshold 60% -format '%@' info:)
  python3 - "$ink" <<'PYTHON' || fail "ink at the edge of $page: $ink"
import re, sys
w, h, x, y = map(int, re.match(r"(\d+)x(\d+)\+(\d+)\+(\d+)", sys.argv[1]).groups())
mm = 50 / 25.4
assert x > 8 * mm and y > 7 * mm and x + w < 210 * mm - 8 * mm and y + h < 297 * mm - 8 * mm
PYTHON
done

expect 0 -- "$BACKCLOTH" sheet "$demo/plan-venn.json" --paper letter --units imperial -o venn.pdf
pdfinfo venn.pdf | grep -q 'letter' || fail "not Letter"
expect 0 -- "$BACKCLOTH" sheet "$demo/plan-venn.json" -o venn.png
expect 64 'pdf or .png' -- "$BACKCLOTH" sheet "$demo/plan-venn.json" -o sheet.svg
expect 64 'a4 or letter' -- "$BACKCLOTH" sheet "$demo/plan-venn.json" --paper b5 -o no.pdf
expect 64 'no catalogue' -- "$BACKCLOTH" sheet "$demo/plan-venn.json" --language xq -o no.pdf
expect 64 'sheet.pdf' -- "$BACKCLOTH" sheet "$demo/plan-venn.json"
absent no.pdf sheet.svg

# A made-up catalogue in Arabic letters, a third longer than English: the page runs from right to left.
mkdir -p program/locale/ar/LC_MESSAGES
cp "$BACKCLOTH" program/backcloth
python3 - >ar.po <<'PYTHON'
words = ["You need", "Take care", "Put up in this order", "Pack", "Set-up sheet", "Ask the venue first", "Rod", "Cloth"]
print('msgid ""\nmsgstr "Language: ar\\nContent-Type: text/plain; charset=UTF-8\\n"\n')
print('msgid "ltr"\nmsgstr "rtl"\n')
for w in words:
    made = "".join(chr(0x0628 + ord(c) % 20) if c.isalpha() else c for c in w + w[: len(w) // 3])
    print(f'msgid "{w}"\nmsgstr "{made}"\n')
PYTHON
msgfmt -o program/locale/ar/LC_MESSAGES/backcloth.mo ar.po || fail "msgfmt"
expect 0 -- program/backcloth sheet "$demo/plan-venn.json" --language ar -o arabic.pdf
pdftoppm -r 50 -gray -f 2 -l 2 arabic.pdf rtl
python3 - rtl-*.pgm <<'PYTHON' || fail "the Arabic page does not run from right to left"
import sys
data = open(sys.argv[1], "rb").read().split(b"\n", 3)
w, h = map(int, data[1].split())
px = data[3]
# The first step's black number stands at the reading edge: count black in strips of 8 mm inside the margins.
strip, inner = int(8 / 25.4 * 50), int(12 / 25.4 * 50)
dark = lambda a, b: sum(px[y * w + x] < 60 for y in range(h) for x in range(a, b))
assert dark(w - inner - strip, w - inner) > 2 * dark(inner, inner + strip)
PYTHON
done_testing
