#!/bin/sh
# A doubtful outline is told alike by read, by a mask that read wrote, and by a box that leaves doubts behind.
. "$(dirname "$0")/lib"
tell() { # key of the piece
  python3 -c 'import json,sys; p = json.load(open("out.txt"))["piece"]; print(p["confidence"], p["doubtful"], len(p["doubts"]["stretches"]))'
}
photo=$demo/photos/vase.jpg
expect 0 -- "$BACKCLOTH" read "$photo" --mask-out vase.mask.png --json
found=$(tell)
case $found in *True*) ;; *) fail "the vase's outline is no longer doubtful: choose another photo ($found)" ;; esac
expect 0 -- "$BACKCLOTH" read "$photo" --mask vase.mask.png --json
[ "$(tell)" = "$found" ] || fail "a mask of ours loses its doubt: $found, then $(tell)"
expect 0 -- "$BACKCLOTH" match "$photo" --masks . --cloth black --json
python3 - <<'PYTHON' || fail "match --masks loses the doubt"
import json
piece = json.load(open("out.txt"))["cloths"][0]["pieces"][0]
assert piece["outline"]["doubtful"] and piece["outline"]["confidence"] < 0.8, piece
PYTHON

# Painted over by a person: the pixels' own data differ, and it is that person's word.
python3 - <<'PYTHON' || fail "the mask could not be written anew"
import struct, zlib
data, at, parts, out = open("vase.mask.png", "rb").read(), 8, b"", []
while at < len(data):
    size, kind = struct.unpack(">I4s", data[at:at + 8])
    out.append((kind, data[at + 8:at + 8 + size]))
    at += size + 12
raw = zlib.decompress(b"".join(body for kind, body in out if kind == b"IDAT"))
chunk = lambda kind, body: struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
first = [(k, b) for k, b in out if k == b"IHDR"]
text = [(k, b) for k, b in out if k == b"tEXt"]
assert len(text) == 1
with open("painted.png", "wb") as to:
    to.write(data[:8] + b"".join(chunk(k, b) for k, b in first + [(b"IDAT", zlib.compress(raw, 1))] + text + [(b"IEND", b"")]))
PYTHON
expect 0 -- "$BACKCLOTH" read "$photo" --mask painted.png --json
case $(tell) in "1"*False*) ;; *) fail "a painted mask is doubted: $(tell)" ;; esac

# The box is right, the confidence high, and yet half of the outline is in doubt.
expect 0 -- "$BACKCLOTH" read "$SOURCE/tests/data/cutout/basket-handles-on-pebbles.jpg" --box 114,174,244,309 --json
python3 - <<'PYTHON' || fail "a box silences a doubt"
import json
piece = json.load(open("out.txt"))["piece"]
share = sum(s["share"] for s in piece["doubts"]["stretches"])
assert (share > 0.25) <= piece["doubtful"], (share, piece["confidence"])
assert share > 0.25 and piece["confidence"] > 0.8, "no longer such a case: choose another"
PYTHON

done_testing
