#!/bin/sh
# No output takes the place of something that the run reads, nor of another output, nor changes its kind; what is
# written keeps its mode and its symbolic link; and a full standard output is told, whatever was asked for.
. "$(dirname "$0")/lib"

for photo in ring bowl; do convert "$demo/photos/$photo.jpg" -resize 400x400 $photo.jpg || fail "no small photos"; done
mkdir photos masks && cp ring.jpg photos/ring.jpg
cat >plan.json <<END
{"backcloth":1,"title":"T","stand":{"width":300,"wall_height":240},"cloth":{"photo":"linen.jpg","width":250,"height":200,
"top":220},"pieces":[{"id":"a","width":30,"height":40,"weight_g":500,"photo":"bowl.jpg","at":[150,150],
"mount":{"kind":"hook","rated_kg":10}},{"id":"b","width":20,"height":20,"weight_g":200,"mount":{"kind":"hook","rated_kg":5}}]}
END
convert "$demo/cloths/twill.jpg" -resize 300x300 linen.jpg
cp linen.jpg other.jpg
echo '{"cloths":[{"name":"Linen","photo":"other.jpg"},{"name":"Ink","colour":"#1f2430"}]}' >cloths.json
printf 'secret\n' >word
convert -size 20x20 xc:white mask.png 2>/dev/null || cp "$demo"/truth/*.png .
for file in ring bowl linen other; do # the same files by names that end as outputs do
  for suffix in png pdf svg json; do ln "$file.jpg" "$file-hard.$suffix"; ln -s "$file.jpg" "$file-soft.$suffix"; done
done
for name in plan cloths; do
  for suffix in png pdf svg; do ln "$name.json" "$name-hard.$suffix"; ln -s "$name.json" "$name-soft.$suffix"; done
done
cp "$(ls "$demo"/truth/*.png | head -1)" masks/ring.mask.png
sha256sum *.* photos/* masks/* >before.sums

# keeps TEXT -- COMMAND…: exit code 64, and not one file of the user is other than it was.
keeps() {
  expect 64 "$@"
  sha256sum --quiet -c before.sums >sums.txt 2>&1 || fail "changed by: $* -- $(cat sums.txt)"
}

# --- what is read: the photo itself, by a hard link, by a symbolic link ---
for way in hard soft; do
  keeps 'read in the same run' -- "$BACKCLOTH" read ring.jpg --mask-out ring-$way.png
  keeps 'read in the same run' -- "$BACKCLOTH" read ring.jpg --mask masks/ring.mask.png --mask-out masks/ring.mask.png
  keeps 'read in the same run' -- "$BACKCLOTH" read ring.jpg --masks masks --mask-out masks/ring.mask.png
  for option in -o --compare --landscape; do
    keeps 'read in the same run' -- "$BACKCLOTH" match ring.jpg --cloth black --cloth white $option ring-$way.png
    keeps 'read in the same run' -- "$BACKCLOTH" match ring.jpg --cloth photo:linen.jpg --cloth white $option linen-$way.svg
    keeps 'read in the same run' -- "$BACKCLOTH" match ring.jpg --cloths cloths.json $option cloths-$way.pdf
    keeps 'read in the same run' -- "$BACKCLOTH" match ring.jpg --cloths cloths.json $option other-$way.png
    keeps 'read in the same run' -- "$BACKCLOTH" match --plan plan.json --cloth white $option plan-$way.png
    keeps 'read in the same run' -- "$BACKCLOTH" match --plan plan.json --cloth white $option bowl-$way.png
    keeps 'read in the same run' -- "$BACKCLOTH" match --plan plan.json --cloth white $option linen-$way.png
  done
  keeps 'read in the same run' -- "$BACKCLOTH" look ring.jpg --wall-width 300 -o ring-$way.png
  keeps 'read in the same run' -- "$BACKCLOTH" look ring.jpg --wall-width 300 --cloth photo:linen.jpg -o linen-$way.png
  for suffix in png pdf; do
    keeps 'read in the same run' -- "$BACKCLOTH" elevation plan.json -o plan-$way.$suffix
    keeps 'read in the same run' -- "$BACKCLOTH" elevation plan.json -o bowl-$way.$suffix
    keeps 'read in the same run' -- "$BACKCLOTH" elevation plan.json --view aisle -o linen-$way.$suffix
    keeps 'read in the same run' -- "$BACKCLOTH" sheet plan.json -o plan-$way.$suffix
    keeps 'read in the same run' -- "$BACKCLOTH" sheet plan.json -o bowl-$way.$suffix
  done
  keeps 'read in the same run' -- "$BACKCLOTH" arrange plan.json -o bowl-$way.json
  keeps 'read in the same run' -- "$BACKCLOTH" plan sold a plan.json -o bowl-$way.json
  keeps 'read in the same run' -- "$BACKCLOTH" plan add b plan.json -o linen-$way.json
done
keeps 'read in the same run' -- "$BACKCLOTH" arrange plan.json -o plan.json
keeps 'read in the same run' -- "$BACKCLOTH" arrange plan.json -o ./photos/../plan.json
keeps 'read in the same run' -- "$BACKCLOTH" plan sold a plan.json -o plan.json
keeps 'read in the same run' -- "$BACKCLOTH" plan add b plan.json -o plan.json
keeps 'read in the same run' -- "$BACKCLOTH" feedback photos -o photos
keeps 'read in the same run' -- "$BACKCLOTH" feedback photos -o sheets --cloths cloths.json --cache cloths.json
absent sheets
sh -c '"$1" arrange plan.json >>plan.json' - "$BACKCLOTH" 2>out.err
[ $? = 64 ] || fail "a plan that standard output goes to: $(cat out.err)"

# --- the pieces of a split photo have a mask each ---
cp masks/ring.mask.png apart-2.png
expect 64 'read in the same run' -- "$BACKCLOTH" read apart-2.png --split --mask-out apart.png

# --- two outputs, one file ---
: >there.png
ln there.png twin.png
ln -s new.png later.png
for pair in '-o x.png --compare x.png' '-o x.png --landscape ./x.png' '--compare x.png --landscape photos/../x.png' \
  '-o there.png --compare twin.png' '-o new.png --landscape later.png'; do
  keeps 'two results' -- "$BACKCLOTH" match ring.jpg --cloth black --cloth white $pair
done
keeps 'two results' -- "$BACKCLOTH" feedback photos -o sheets --cache sheets
absent x.png new.png sheets

# --- a name of another kind ---
for output in x.JSON.txt ring.jpg; do
  keeps 'end in' -- "$BACKCLOTH" read ring.jpg --mask-out $output
  keeps 'end in' -- "$BACKCLOTH" match ring.jpg --cloth black --cloth white -o $output
  keeps 'end in' -- "$BACKCLOTH" match ring.jpg --cloth black --cloth white --compare $output
  keeps 'end in' -- "$BACKCLOTH" match ring.jpg --cloth black --cloth white --landscape $output
  keeps 'end in' -- "$BACKCLOTH" look ring.jpg --wall-width 300 -o $output
  keeps 'end in' -- "$BACKCLOTH" elevation plan.json -o $output
  keeps 'end in' -- "$BACKCLOTH" sheet plan.json -o $output
  keeps 'end in' -- "$BACKCLOTH" arrange plan.json -o $output
  keeps 'end in' -- "$BACKCLOTH" plan sold a plan.json -o $output
  keeps 'end in' -- "$BACKCLOTH" plan add b plan.json -o $output
  keeps 'end in' -- "$BACKCLOTH" plan start photos -o $output
done
absent x.JSON.txt
# …and nothing was read before: the photo is not there, and that is not what is said
keeps 'end in' -- "$BACKCLOTH" match gone.jpg --cloth black -o gone.jpg

# --- every option that names an output is known to this test ---
for command in read match look plan arrange elevation loads packing sheet feedback serve; do
  "$BACKCLOTH" $command --help | sed -n 's/^ *\(-., \)*--\([a-z-]*\) [A-Z].*/\2/p' |
    grep -E '^(output|.*-out|compare|landscape|cache)$' | sed "s/^/$command /"
done >outputs.txt
cat >known.txt <<END
read mask-out
match output
match compare
match landscape
look output
plan output
arrange output
elevation output
sheet output
feedback output
feedback cache
END
diff known.txt outputs.txt || fail "an output that this test does not know"

# --- mode and link stay ---
: >mine.json && chmod 640 mine.json && ln -s mine.json link.json
expect 0 -- "$BACKCLOTH" arrange plan.json -o link.json
[ -L link.json ] || fail "the symbolic link was replaced"
[ "$(stat -c %a mine.json)" = 640 ] || fail "mode $(stat -c %a mine.json) instead of 640"
grep -q '"backcloth"' mine.json || fail "nothing behind the link"
ln -s deep/new.json away.json && mkdir deep
expect 0 -- "$BACKCLOTH" arrange plan.json -o away.json
[ -L away.json ] && [ -f deep/new.json ] || fail "a link to a file that is not there yet"
ln -s round.json round.json
expect 73 round.json -- "$BACKCLOTH" arrange plan.json -o round.json
mkfifo pipe
timeout 60 cat pipe >piped.json &
expect 0 -- "$BACKCLOTH" arrange plan.json -o pipe
wait
[ -p pipe ] && grep -q '"backcloth"' piped.json || fail "a pipe was replaced"
ln -s /dev/full full.png
expect 73 full.png -- "$BACKCLOTH" elevation plan.json -o full.png
[ -L full.png ] && [ -c /dev/full ] || fail "a device was replaced"

# --- standard output that takes nothing ---
for words in --help -h --version 'read --help' 'match -h' 'look --help' 'plan --help' 'arrange --help' 'elevation --help' \
  'loads --help' 'packing --help' 'sheet --help' 'feedback --help' 'serve --help' 'read --version' \
  'read ring.jpg' 'read ring.jpg --json' 'read ring.jpg --mask-out -' 'match ring.jpg --cloth black' \
  'match ring.jpg --cloth black --json' 'plan check plan.json' 'plan sold a plan.json' 'plan sold a plan.json -o -' \
  'plan add b plan.json --json' 'plan start photos -o -' 'arrange plan.json' 'arrange plan.json -o -' \
  'elevation plan.json --json' 'loads plan.json' 'loads plan.json --json' 'loads plan.json --csv' 'packing plan.json' \
  'packing plan.json --csv' 'feedback photos -o fed --json'; do
  for hole in full closed; do
    [ $hole = full ] || [ "${words% *}" = "$words" ] || [ "${words#loads}" != "$words" ] || continue
    if [ $hole = full ]; then
      timeout 60 "$BACKCLOTH" $words >/dev/full 2>out.err </dev/null
    else
      timeout 60 "$BACKCLOTH" $words >&- 2>out.err </dev/null
    fi
    got=$?
    checks=$((checks + 1))
    [ $got = 73 ] || fail "$words to a $hole standard output: exit $got -- $(cat out.err)"
  done
done
done_testing
