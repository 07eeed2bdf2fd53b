#!/bin/sh
# What was read is kept from run to run, and nobody can tell it from what is computed but by the time it takes: the
# same bytes without a store, with an empty one, with a full one, with a damaged one, and with several runs at once.
. "$(dirname "$0")/lib"
command -v convert >/dev/null 2>&1 || fail "ImageMagick is not installed: sh .ci/install test"
for piece in ring jar earrings vase; do cp "$demo/photos/$piece.jpg" .; done
cp "$(ls "$demo"/cloths/*.jpg | head -1)" cloth.jpg
convert ring.jpg -strip bare.png # its note on the missing profile is kept, too
python3 - "$demo/plan.json" <<'END'
import json, sys
plan = json.load(open(sys.argv[1]))
plan["pieces"] = [p for p in plan["pieces"] if p.get("photo")][:3]
for piece, photo in zip(plan["pieces"], ("ring.jpg", "jar.jpg", "vase.jpg")):
    piece["photo"] = photo
json.dump(plan, open("plan.json", "w"))
END
export XDG_CACHE_HOME="$folder/cache"
kept=$XDG_CACHE_HOME/backcloth
export SOURCE_DATE_EPOCH=0

# run NAME SWITCH…: everything that reads photos, into NAME.*
run() {
  name=$1
  shift
  {
    "$BACKCLOTH" read --json "$@" ring.jpg jar.jpg bare.png
    "$BACKCLOTH" read --stored "$@" vase.jpg
    "$BACKCLOTH" read "$@" jar.jpg --box 100,150,750,900 --mask-out mask.png && cat mask.png
    "$BACKCLOTH" read --split "$@" earrings.jpg
    "$BACKCLOTH" read --json "$@" ring.jpg missing.jpg plan.json
    LANGUAGE=es "$BACKCLOTH" read "$@" ring.jpg
    "$BACKCLOTH" match --json "$@" ring.jpg jar.jpg vase.jpg --cloth white --cloth photo:cloth.jpg
    "$BACKCLOTH" match --json "$@" vase.jpg --see-through vase.jpg --cloth white --cloth '#1f2430'
  } >"$name.txt" 2>"$name.err" </dev/null
  "$BACKCLOTH" match "$@" ring.jpg jar.jpg --cloth white --cloth photo:cloth.jpg -o "$name.board.png" >>"$name.txt" 2>>"$name.err"
  "$BACKCLOTH" match "$@" vase.jpg --see-through vase.jpg --cloth white --cloth black --compare "$name.pair.png" >>"$name.txt" 2>>"$name.err"
  "$BACKCLOTH" elevation "$@" plan.json -o wall.png >>"$name.txt" 2>>"$name.err"
  mv wall.png "$name.wall.png"
  "$BACKCLOTH" elevation "$@" plan.json --view aisle -o wall.svg >>"$name.txt" 2>>"$name.err"
  mv wall.svg "$name.wall.svg"
  "$BACKCLOTH" sheet "$@" plan.json -o sheet.pdf >>"$name.txt" 2>>"$name.err"
  mv sheet.pdf "$name.sheet.pdf"
}

# same NAME: as without a store. Names of outputs are in no output.
same() {
  for suffix in txt err board.png pair.png wall.png wall.svg sheet.pdf; do
    checks=$((checks + 1))
    sed "s/$1\\./none./g" "$1.$suffix" >left
    cmp -s "none.$suffix" left || fail "$2: another $suffix: $(diff "none.$suffix" left | head -c 300)"
  done
}

run none --no-store
[ -s none.board.png ] && [ -s none.wall.png ] && [ -s none.sheet.pdf ] || fail "no pictures: $(cat none.err)"
absent "$XDG_CACHE_HOME"
run cold
same cold "an empty store"
[ "$(stat -c %a "$kept")" = 700 ] || fail "others may look into $kept"
[ "$(find "$kept" -name '*.reading' | wc -l)" -ge 7 ] || fail "nothing is kept: $(ls "$kept")"
find "$kept" -type f | sort >first
run warm
same warm "a full store"
find "$kept" -type f | sort >second
cmp -s first second || fail "the second run keeps more: $(diff first second | head -3)"

# A byte of every entry flipped: what is damaged is made anew.
python3 - "$kept" <<'END'
import os, sys
for i, name in enumerate(sorted(os.listdir(sys.argv[1]))):
    path = os.path.join(sys.argv[1], name)
    if name == "CACHEDIR.TAG":
        continue
    size = os.path.getsize(path)
    with open(path, "r+b") as file:
        at = 16 + (i * 7919 + 31) % (size - 16)
        file.seek(at)
        byte = file.read(1)[0]
        file.seek(at)
        file.write(bytes([byte ^ (1 << i % 8)]))
END
run torn
same torn "a damaged store"
run mended
same mended "a mended store"

# Two runs at once, into one empty store; while a third takes it away again and again.
rm -r "$XDG_CACHE_HOME"
for number in 1 2; do
  "$BACKCLOTH" read --json ring.jpg jar.jpg bare.png >"both.$number" 2>"both.$number.err" &
done
for turn in 1 2 3 4 5; do rm -rf "$XDG_CACHE_HOME"; sleep 0.1; done
wait
"$BACKCLOTH" read --no-store --json ring.jpg jar.jpg bare.png >both.none
for number in 1 2; do
  cmp -s both.none "both.$number" || fail "two at once: $(diff both.none "both.$number" | head -c 300)"
  ! grep -v 'nothing is kept there\|could not be kept' "both.$number.err" || fail "two at once: another complaint"
done

# Where nothing can be kept, it is said once, and all else is as ever.
rm -rf "$XDG_CACHE_HOME"
: >"$folder/cache"
expect 0 'nothing is kept' -- "$BACKCLOTH" read --json ring.jpg jar.jpg bare.png
[ "$(grep -c 'nothing is kept' out.err)" = 1 ] || fail "said more than once: $(cat out.err)"
cmp -s out.txt both.none || fail "without a folder: other figures"
expect 0 -- "$BACKCLOTH" read --no-store --json ring.jpg
[ ! -s out.err ] || fail "--no-store: $(cat out.err)"
rm "$folder/cache"
mkdir -p "$kept" # as others may see it
chmod 755 "$kept"
expect 0 'not yours alone' -- "$BACKCLOTH" read --json ring.jpg
[ -z "$(ls "$kept")" ] || fail "something was kept where others may look"
expect 0 -- "$BACKCLOTH" loads --help

# Another build of a library is another answer, also of one that comes only when it is called (libtiff, for a JPEG); the
# same build at another place is the same.
library=$(ldconfig -p | awk '$1 == "libtiff.so.6" && /64/ {print $NF; exit}')
rm -rf "$XDG_CACHE_HOME"
readings() { find "$kept" -name '*.reading' | wc -l; }
mkdir same other
cp -L "$library" same/libtiff.so.6
python3 - "$library" other/libtiff.so.6 <<'END'
import re, sys
found = open(sys.argv[1], "rb").read()
at = found.index(b"\x04\0\0\0\x14\0\0\0\x03\0\0\0GNU\0") + 16 # the note of the build id: 20 bytes of SHA-1
open(sys.argv[2], "wb").write(found[:at] + bytes(20) + found[at + 20:])
END
for run in none=1 same=1 other=2 none=2 other=2; do
  LD_LIBRARY_PATH=$folder/${run%=*} "$BACKCLOTH" read --json ring.jpg jar.jpg bare.png >library.txt 2>&1
  cmp -s library.txt both.none || fail "with another library: $(diff library.txt both.none | head -c 300)"
  [ "$(readings)" = $((3 * ${run#*=})) ] || fail "with libtiff of ${run%=*}: $(readings) readings kept, not $((3 * ${run#*=}))"
done
for command in read match look elevation sheet feedback; do
  expect 0 '--no-store' -- "$BACKCLOTH" "$command" --help
done
done_testing
