#!/bin/sh
# The elevation's sheets as they come out of a printer: no word meets another, on any paper, in any language. Word
# boxes are those of the PDF (pdftotext -bbox); a word takes the middle half of its line, ascenders and descenders may
# share a band.
. "$(dirname "$0")/lib"
cat >meets.py <<'PYTHON'
import re, sys
text = open(sys.argv[1], encoding="utf-8").read()
bad = []
for number, page in enumerate(text.split("<page ")[1:], 1):
    words = [(*map(float, m.groups()[:4]), m.group(5)) for m in re.finditer(
        r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)</word>', page)]
    if len(words) < 10: bad.append(f"page {number}: only {len(words)} words")
    boxes = []
    for a, b, c, d, word in words:
        upright = d - b > c - a  # set from below upwards
        short = len(word) < 4 or (upright and len(word) < 5)  # may lie either way
        x, y = (c - a) / 4 if upright or short else 0, 0 if upright and not short else (d - b) / 4
        boxes.append((a + x, b + y, c - x, d - y, word))
    for i, p in enumerate(boxes):
        for q in boxes[i + 1:]:
            if min(p[2], q[2]) - max(p[0], q[0]) > 0.4 and min(p[3], q[3]) - max(p[1], q[1]) > 0.4:
                bad.append(f"page {number}: '{p[4]}' meets '{q[4]}' at {p[0]:.0f}, {p[1]:.0f}")
print("\n".join(bad[:6]))
sys.exit(bool(bad))
PYTHON
# Outlines do for words, and are drawn faster than photos.
for plan in plan plan-venn; do
  sed '/"photo"/s/"photo": *"[^"]*", *//' "$demo/$plan.json" >$plan.json
  grep -q '"photo"' $plan.json && fail "photos are left in $plan.json"
done
for language in en es hi ar; do
  for paper in a4 a3 letter tabloid; do
    for plan in plan plan-venn; do
      export LANGUAGE=$language LC_ALL=C.UTF-8
      expect 0 -- "$BACKCLOTH" elevation $plan.json --paper $paper -o wall.pdf
      pdftotext -bbox wall.pdf words.html
      python3 meets.py words.html >said || fail "$language $paper $plan: $(cat said)"
    done
  done
done
done_testing
