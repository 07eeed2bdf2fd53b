#!/bin/sh
# The set-up sheet: pages, tags, the QR code read back by zbar, paper sizes, right to left with a catalogue made
# here, exit codes.
. "$(dirname "$0")/lib"
expect 0 -- "$BACKCLOTH" sheet "$demo/plan.json" --masks "$demo/truth" -o sheet.pdf
pdfinfo sheet.pdf >info.txt
grep -q '^Pages: *2$' info.txt || fail "two pages for the demo: $(grep Pages info.txt)"
grep -q '^Tagged: *yes' info.txt || fail "not tagged"
grep -q '^Title: *Four makers' info.txt || fail "no title"
grep -q 'A4' info.txt || fail "not A4"
pdftotext -layout sheet.pdf text.txt
for words in 'Moonrise on the marsh, banner' '222 cm' '87⅜ in' 'licensed person' 'Ash-glazed bowl'; do
  grep -qF "$words" text.txt || fail "the sheet lacks '$words'"
done
# The code must be read from an office print: 150 dots an inch, in grey, a little turned and soft.
reads_code() { # reads_code PDF LINE
  pdftoppm -r 150 -gray -f 1 -l 1 "$1" page
  for how in '-strip' '-rotate 1.3 -blur 0x0.6'; do
    convert page-1.pgm $how page.png
    zbarimg -q --raw page.png >code.txt 2>/dev/null
    grep -qxF "$2" code.txt || fail "QR code of $1 ($how): $(head -c 200 code.txt)"
  done
}
reads_code sheet.pdf '1 banner y222 x66,122,178,234'
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
# Twenty-four hung pieces with rod, cloth, shelf and table still fit two pages on either paper; more run on.
python3 - 24 24.json 40 40.json <<'PYTHON'
import json, sys
for n, name in zip(map(int, sys.argv[1::2]), sys.argv[2::2]):
    pieces = [{"id": f"p{i}", "title": f"Indigo scarf number {i + 1}", "width": 20, "height": 20, "weight_g": 300,
               "mount": {"kind": ["pin", "nail", "hook"][i % 3], "points": 1 + i % 2},
               "at": [20 + i % 8 * 35, 130 + 25 * (i // 8)]} for i in range(n)]
    json.dump({"backcloth": 1, "title": "Many small things", "stand": {"width": 300, "wall_height": 280},
               "cloth": {"colour": "#1f2430"}, "rods": [{"id": "rod", "y": 272}], "tables": [{"id": "table"}],
               "shelves": [{"id": "s1", "x": 5, "y": 100}], "pieces": pieces}, open(name, "w"))
PYTHON
for paper in a4 letter; do
  "$BACKCLOTH" sheet 24.json --paper $paper -o 24.pdf 2>/dev/null
  pdfinfo 24.pdf | grep -q '^Pages: *2$' || fail "24 pieces on two pages of $paper"
done
reads_code 24.pdf '24 p23 y190 x260,270'
"$BACKCLOTH" sheet 40.json -o 40.pdf 2>/dev/null
pdftotext 40.pdf - | grep -q 'page 3 of 3' || fail "40 pieces: no third page"

# What has no place yet says so, and shows no figures.
python3 - "$demo/plan-venn.json" <<'PYTHON'
import json, sys
plan = json.load(open(sys.argv[1]))
for piece in plan["pieces"]:
    for key in ("photo", "at", "pinned"): piece.pop(key, None)
json.dump(plan, open("unplaced.json", "w"))
PYTHON
expect 1 -- "$BACKCLOTH" sheet unplaced.json -o unplaced.pdf
pdftotext unplaced.pdf - | grep -q 'No place yet' || fail "an unplaced piece is not told"
if pdftotext unplaced.pdf - | grep -qi 'nan'; then fail "a figure for an unplaced piece"; fi

# Whoever hangs the wall has only the paper: it says itself that something would fall. Titles too long for the
# checklist keep the bag's number, and a point left of the wall's edge has its sign in both units.
python3 - <<'PYTHON'
import json
long = "A hand-woven hanging with seven indigo stripes, three undyed ones and a row of tassels along its lower edge"
cord = {"kind": "cord", "points": 2, "cord_angle": 10, "rated_kg": 20}
pieces = [{"id": "flat", "title": long, "width": 50, "height": 40, "weight_g": 2000, "at": [50, 150], "mount": cord},
          {"id": "pot", "width": 20, "height": 20, "weight_g": 19000, "at": [200, 10], "mount": {"kind": "floor"}}]
plan = {"backcloth": 1, "title": "Falls", "stand": {"width": 300, "wall_height": 240}, "pieces": pieces,
        "packing": {"bag_kg": 24}}
json.dump(plan, open("falls.json", "w"))
pieces[0]["at"] = [150, 150]
pieces[0]["mount"]["rated_kg"] = 40
json.dump(plan, open("holds.json", "w"))
PYTHON
expect 1 -- "$BACKCLOTH" sheet falls.json -o falls.pdf
pdftotext -layout falls.pdf falls.txt
grep -q 'STOP: hang nothing' falls.txt || fail "the paper does not say that something would fall"
grep -q -e '−33.4 · 133.4 cm' falls.txt || fail "centimetres left of the wall: $(grep ' cm' falls.txt)"
grep -q -e '−13⅛ · 52½ in' falls.txt || fail "inches left of the wall: $(grep ' in' falls.txt)"
expect 0 -- "$BACKCLOTH" sheet holds.json -o holds.pdf
if pdftotext holds.pdf - | grep -q 'does not hold'; then fail "a wall that holds is said not to"; fi
# The PDF keeps all the text of what is cut, as one "word" with spaces in it, where the ellipsis stands.
pdftotext -f 2 -bbox falls.pdf falls.html
grep -q '>[^< ]* [^<]*</word>' falls.html || fail "the long title is not cut: this test asks nothing"
test "$(grep -c '>(bag</word>' falls.html)" -ge 3 || fail "a bag's number is cut off: $(grep 'bag' falls.html)"

# Sentences 40 % longer, in Latin and in Devanagari letters: no page more, and nothing is cut but the
# middle of the checklist's two longest lines.
python3 - "$SOURCE" <<'PYTHON'
import pathlib, re, subprocess, sys
source = pathlib.Path(sys.argv[1]) / "src"
files = [*(source / "sheets").rglob("*.c"), source / "plan/names.c", source / "base/measures.c"]
po = subprocess.run(["xgettext", "--from-code=UTF-8", "-k_", "-kN_", "--no-wrap", "-o", "-", *map(str, files)], check=True,
                    capture_output=True, text=True).stdout
texts = re.findall(r'^msgid "((?:[^"\\]|\\.)+)"$', po, re.M)
assert "Put up in this order" in texts and len(texts) > 40
parts = re.compile(r'(%(?:[0-9]+\$)?[-0-9.]*l*(?:zu|[a-z%])|\\.)')
def longer(text):
    words = [w for w in text.split() if "%" not in w and "\\" not in w]
    return text + " " + " ".join(words)[: max(1, len(text) * 2 // 5)] if words else text
def deva(text):
    return "".join(p if i % 2 else "".join(chr(0x0915 + ord(c.lower()) % 34) + ("\u093f" if k % 3 == 0 else "")
                   if c.isalpha() else c for k, c in enumerate(p)) for i, p in enumerate(parts.split(text)))
for language, make in (("xl", longer), ("xd", lambda t: deva(longer(t)))):
    folder = pathlib.Path("program/locale") / language / "LC_MESSAGES"
    folder.mkdir(parents=True)
    with open(language + ".po", "w") as out:
        out.write('msgid ""\nmsgstr "Language: x\\nContent-Type: text/plain; charset=UTF-8\\n"\n\n')
        for t in dict.fromkeys(t for t in texts if "\\n" not in t):
            if t not in ("ltr", ): out.write(f'msgid "{t}"\nmsgstr "{make(t)}"\n\n')
    subprocess.run(["msgfmt", "-o", str(folder / "backcloth.mo"), language + ".po"], check=True)
PYTHON
for language in xl xd; do
  for plan in plan plan-venn; do
    for paper in a4 letter; do
      expect 0 -- program/backcloth sheet "$demo/$plan.json" --masks "$demo/truth" --paper $paper --language $language \
        -o long-$language-$plan-$paper.pdf
      pdfinfo long-$language-$plan-$paper.pdf | grep -q '^Pages: *2$' || fail "$language $plan $paper: not two pages"
      pdftotext -bbox long-$language-$plan-$paper.pdf long.html
      sed -n '/<page/,/<\/page>/{/>[^< ]* [^<]*<\/word>/p;/<\/page>/q}' long.html >first.txt
      test ! -s first.txt || fail "$language $plan $paper: cut on the first page: $(cat first.txt)"
      test "$(grep -c '>[^< ]* [^<]*</word>' long.html)" -le 2 || fail "$language $plan $paper: cut: $(grep '> *[^< ]* [^<]*</word>' long.html)"
    done
  done
done
done_testing
