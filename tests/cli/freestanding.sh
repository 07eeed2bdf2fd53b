#!/bin/sh
# A frame with ballast, a rod and a grid panel, in inches: the words of loads, the order of putting up, the sheet.
. "$(dirname "$0")/lib"
cat >plan.json <<'JSON'
{"backcloth": 1, "title": "Guild hall", "units": "imperial",
 "stand": {"width": "300 cm", "wall_height": "230 cm"},
 "frame": {"weight_g": "20 kg", "base_depth": "80 cm", "ballast_g": "12 kg", "tie_rated": "250 kg"},
 "rods": [{"x": "10 cm", "y": "225 cm", "length": "280 cm", "supports": ["20 cm", "100 cm", "190 cm", "280 cm"]}],
 "cloth": {"colour": "#334455", "top": "225 cm", "grams_per_m2": 220},
 "grids": [{"x": "200 cm", "y": "20 cm", "rated_kg": "20 kg"}],
 "pieces": [
  {"id": "basket", "width": "30 cm", "height": "30 cm", "weight_g": "800 g", "at": ["230 cm", "147.5 cm"],
   "mount": {"kind": "hook", "on": "grid-1"}},
  {"id": "scarf", "width": "40 cm", "height": "60 cm", "weight_g": "200 g", "at": ["100 cm", "150 cm"]},
  {"id": "bowl", "width": "20 cm", "height": "20 cm", "weight_g": "500 g"}]}
JSON
expect 1 "NOT KNOWN whether these hold" -- "$BACKCLOTH" loads plan.json
cp out.txt loads.txt
for words in 'scarf, nail, on the frame: It carries 7 oz (200 g).' 'basket, hook, on the grid panel: It carries 1 lb 12 oz' \
  '1 piece has no place yet.' 'No place yet: bowl.' '1. Stand the frame up and put the ballast on its feet.' \
  '4. Put up the grid panel.' 'without ballast, with'; do
  grep -qF "$words" loads.txt || fail "loads lacks '$words': $(cat loads.txt)"
done
grep -q ' $' loads.txt && fail "a line ends in a space: $(grep -n ' $' loads.txt)"
grep -q '[( ]0 in' loads.txt && fail "a length of nothing: $(grep -n '[( ]0 in' loads.txt)"
expect 1 "NOT KNOWN whether it holds" -- "$BACKCLOTH" packing plan.json
grep -q ' lb .*kg)' out.txt || fail "packing does not begin with the plan's own unit: $(cat out.txt)"
expect 1 -- "$BACKCLOTH" loads plan.json --units metric
grep -qF 'carries 200 g (7 oz)' out.txt || fail "--units metric is not followed"
expect 1 "NOT KNOWN whether it holds" -- "$BACKCLOTH" sheet plan.json -o sheet.pdf
pdftotext -layout sheet.pdf sheet.txt
for words in 'Grid panel' 'Ballast: 26 lb (12.0 kg)' 'No place yet'; do
  grep -qF "$words" sheet.txt || fail "the sheet lacks '$words'"
done

# No ballast: nothing is said of it.
sed 's/, "ballast_g": "12 kg"//' plan.json >bare.json
expect 1 -- "$BACKCLOTH" loads bare.json
grep -q 'without ballast' out.txt && fail "ballast that there is not is told of"
grep -q 'Stand the frame up\.' out.txt || fail "the frame's step: $(cat out.txt)"

# A rod that is too weak: the drawing and the sheet say so themselves. Two hooks never share a wire, and a picture
# whose outline is a guess is called one.
convert -size 600x400 -seed 4 plasma:tan-brown noise.png
sed 's/"y": "225 cm", "length"/"y": "225 cm", "outer_mm": 3, "material": "steel", "length"/; s/"id": "bowl",/"id": "bowl", "photo": "noise.png",/' plan.json >weak.json
expect 1 '"bowl"' 'outlines of these pieces are unsure' -- "$BACKCLOTH" elevation weak.json -o weak.pdf
pdftotext weak.pdf - | tr '\n' ' ' | grep -q 'STOP: .*the rod' || fail "the drawing hides a weak rod"
expect 1 'Does not hold: the rod' -- "$BACKCLOTH" sheet weak.json -o weak-sheet.pdf
sed 's/"mount": {"kind": "hook", "on": "grid-1"}/"mount": {"kind": "hook", "on": "grid-1", "points": 2}/
s/"basket", "width": "30 cm"/"basket", "width": "6 cm"/' plan.json >wires.json
expect 1 'share one wire' -- "$BACKCLOTH" plan check wires.json
sed -i 's/, "at": \["230 cm", "147.5 cm"\]//' wires.json
expect 0 -- "$BACKCLOTH" arrange wires.json -o wires-arranged.json
expect 0 -- "$BACKCLOTH" plan check wires-arranged.json

# More pieces than a readable QR code can tell: the sheet is made, and its reader is told.
python3 - >many.json <<'PYTHON'
import json
pieces = [{"id": f"piece-{i}", "width": 10, "height": 10, "at": [15 + 13 * (i % 20), 100 + 20 * (i // 20)]} for i in range(60)]
print(json.dumps({"backcloth": 1, "title": "Many", "stand": {"width": 300, "wall_height": 230}, "pieces": pieces}))
PYTHON
expect 1 'QR code' -- "$BACKCLOTH" sheet many.json -o many.pdf
done_testing
