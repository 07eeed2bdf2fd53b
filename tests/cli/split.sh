#!/bin/sh
# Several pieces in one photo: a reading each in reading order, masks under numbered names, the same names in a
# match; one piece keeps its name; a rough guess is taken up.
. "$(dirname "$0")/lib"

python3 - four.png guess.png <<'PYTHON'
# Four earrings on a sand-coloured cloth, in two rows; and a rough guess of the upper left one alone.
import struct, sys, zlib

def png(path, kind, rows):
    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    head = struct.pack(">IIBBBBB", W, H, 8, kind, 0, 0, 0)
    body = zlib.compress(b"".join(b"\0" + bytes(r) for r in rows))
    open(path, "wb").write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b""))

W, H = 480, 360
pieces = [(120, 96, 46, (150, 30, 40)), (350, 104, 40, (20, 70, 120)), (130, 262, 40, (30, 100, 60)), (345, 255, 48, (60, 30, 90))]
noise = 1
photo, guess = [], []
for y in range(H):
    line, rough = [], []
    for x in range(W):
        noise = (noise * 1664525 + 1013904223) % 2**32
        colour = (214, 200, 170)
        for cx, cy, r, c in pieces:
            if (x - cx) ** 2 + (y - cy) ** 2 < r * r: colour = c
        line += [max(0, min(255, v + (noise >> 28) - 8)) for v in colour]
        rough.append(230 if abs(x - 120) < 55 and abs(y - 96) < 55 else 10)
    photo.append(line); guess.append(rough)
png(sys.argv[1], 2, photo)
png(sys.argv[2], 0, guess)
PYTHON

expect 0 -- "$BACKCLOTH" read --json --split --mask-out m.png four.png
python3 - out.txt <<'PYTHON' || fail "the split reading"
import json, sys
r = [json.loads(line) for line in open(sys.argv[1])]
assert [x["photo"] for x in r] == ["four.png#%d" % i for i in (1, 2, 3, 4)], [x["photo"] for x in r]
middles = [(b[0] + b[2] / 2, b[1] + b[3] / 2) for b in (x["piece"]["box"] for x in r)]
for got, want in zip(middles, ((120, 96), (350, 104), (130, 262), (345, 255))):
    assert abs(got[0] - want[0]) < 4 and abs(got[1] - want[1]) < 4, (got, want)
import math
for x, radius in zip(r, (46, 40, 40, 48)):
    share = math.pi * radius**2 / (480 * 360)
    assert abs(x["piece"]["area_share"] / share - 1) < 0.06, (x["photo"], x["piece"]["area_share"], share)
a = [x["piece"]["lab"][1] for x in r]
assert a[0] > 20 and a[2] < -10, a # the first is red, the third green: colours are not mixed
PYTHON
for i in 1 2 3 4; do [ -s "m-$i.png" ] || fail "m-$i.png was not written"; done
[ ! -e m.png ] || fail "m.png was written too"

expect 0 -- "$BACKCLOTH" read --split four.png
grep -q '^four 3: ' out.txt || fail "the third piece has no title of its own: $(cat out.txt)"
expect 0 -- "$BACKCLOTH" match --json --split four.png --cloth '#222' -o board.png
python3 - out.txt <<'PYTHON' || fail "the split match"
import json, sys
m = json.load(open(sys.argv[1]))
assert [p["photo"] for p in m["cloths"][0]["pieces"]] == ["four.png#%d" % i for i in (1, 2, 3, 4)]
PYTHON
[ -s board.png ] || fail "no board"

# One piece keeps its name; a photo that cannot be read does not take the others along.
expect 66 -- "$BACKCLOTH" read --json --split "$demo/photos/bowl.jpg" none.jpg four.png
[ "$(wc -l <out.txt)" = 5 ] || fail "bowl and four pieces: $(wc -l <out.txt) lines"
head -n 1 out.txt | grep -q '"photo":"[^"#]*bowl.jpg"' || fail "one piece keeps its name"

# The mask given by hand is split as well.
cp m-1.png one.png
expect 0 -- "$BACKCLOTH" read --json --split --mask one.png four.png
grep -q '"photo":"four.png"' out.txt || fail "a mask of one piece"

# A guess in which only one piece is likely leaves the others out.
expect 0 -- "$BACKCLOTH" read --json --guess guess.png four.png
python3 - out.txt <<'PYTHON' || fail "the guess"
import json, sys
x, y, w, h = json.load(open(sys.argv[1]))["piece"]["box"]
assert abs(x - 74) < 8 and abs(y - 50) < 8 and abs(w - 92) < 16 and abs(h - 92) < 16, (x, y, w, h)
PYTHON
expect 66 -- "$BACKCLOTH" read --guess none.png four.png
printf 'no model' >rough.onnx # refused by name, or for lack of what runs models
expect 65 -- "$BACKCLOTH" read --guess rough.onnx four.png
grep -q 'rough.onnx.*ONNX Runtime' out.err || fail "a model that is none: $(cat out.err)"
[ ! -s out.txt ] || fail "a reading in spite of that: $(cat out.txt)"
expect 64 -- "$BACKCLOTH" read --guess guess.png four.png "$demo/photos/bowl.jpg"
done_testing
