#!/bin/sh
# The main job on the demo: readings against the true colours that the photographs were made from, and what
# the trade knows (common practice, no source): silver is seen on black and not on white; pale work vanishes
# on a white wall.
. "$(dirname "$0")/lib"
truth=$demo/truth

expect 0 -- "$BACKCLOTH" read --json "$demo"/photos/*.jpg --masks "$truth" --as-shot
python3 - out.txt "$truth/truth.json" <<'PYTHON' || fail "readings against the truth"
import json, os, sys
truth = json.load(open(sys.argv[2]))["pieces"]
worst = 0
for line in open(sys.argv[1]):
    reading = json.loads(line)
    name = os.path.basename(reading["photo"])[:-4]
    true = truth[name]
    far = sum((a - b) ** 2 for a, b in zip(reading["piece"]["lab"], true["lab"])) ** 0.5
    worst = max(worst, far)
    # JPEG, noise, sharpening and the reduced size are what lies between; fine jewellery is mostly edge.
    assert far < 3, (name, far, reading["piece"]["lab"], true["lab"])
    assert abs(reading["piece"]["luminance"] - true["luminance"]) < 0.02, name
    assert reading["pixels"] == true["pixels"], name  # upright, whatever the EXIF orientation
    x, y, w, h = true["box"]
    bx, by, bw, bh = reading["piece"]["box"]
    assert max(abs(x - bx), abs(y - by), abs(x + w - bx - bw), abs(y + h - by - bh)) <= 12, (name, true["box"])
print("largest difference of mean CIELAB from the truth: %.2f" % worst)
PYTHON
cat out.txt >/dev/null

for piece in cuff ring; do
  expect 0 -- "$BACKCLOTH" match --json "$demo/photos/$piece.jpg" --masks "$truth" --cloth '#121113' --cloth '#f1efe9'
  python3 - out.txt "$piece" <<'PYTHON' || fail "$piece: silver on black and on white"
import json, sys
black, white = json.load(open(sys.argv[1]))["cloths"]
assert black["cloth"] == "#121113" and black["rank"] == 1 and black["score"] > white["score"] + 10, (sys.argv[2], black, white)
assert black["pieces"][0]["verdict"] == "stands out", black["pieces"]
# The cuff mirrors a dark room, so that half of it is dark: it shows on white, too, but less, and by no more than the spread
# that a photo without a white sheet has. The ring is all light.
assert white["rank"] == (1 if sys.argv[2] == "cuff" else 2), white
assert sys.argv[2] == "cuff" or white["pieces"][0]["verdict"] != "stands out", white["pieces"]
PYTHON
done

expect 0 -- "$BACKCLOTH" match --json "$demo/photos/moon-jar.jpg" --masks "$truth" --cloth white --cloth '#22432f'
python3 - out.txt <<'PYTHON' || fail "pale work on white"
import json, sys
best, worst = json.load(open(sys.argv[1]))["cloths"]
assert best["cloth"] == "#22432f" and worst["pieces"][0]["verdict"] != "stands out"
PYTHON

expect 0 -- "$BACKCLOTH" match "$demo/photos/banner.jpg" "$demo/photos/bottle.jpg" "$demo/photos/bowl.jpg" --cloths "$demo/cloths.json" -o board.png
expect 0 -- "$BACKCLOTH" elevation "$demo/plan.json" --masks "$demo/truth" -o wall.pdf
expect 0 -- "$BACKCLOTH" elevation "$demo/plan.json" --masks "$demo/truth" -o wall.svg
for file in board.png wall.pdf wall.svg; do [ -s "$file" ] || fail "$file is not there"; done
expect 0 'stands out' -- "$BACKCLOTH" match "$demo/photos/bowl.jpg" --cloth black --why best
expect 0 kg lb -- "$BACKCLOTH" packing "$demo/plan.json"
expect 0 -- "$BACKCLOTH" plan check "$demo/plan.json"
expect 0 -- "$BACKCLOTH" arrange "$demo/plan-venn.json" -o placed.json
expect 0 -- "$BACKCLOTH" plan check placed.json
done_testing
