#!/bin/sh
# Manners of the command line: what a file is called never steers a terminal, lines are wrapped by the columns of a
# terminal, colours and progress are shown there only, pictures can be piped, plans' titles are spoken, and no option is
# dropped without a word.
. "$(dirname "$0")/lib"
for photo in ring bowl scarf-stripe; do
  convert "$demo/photos/$photo.jpg" -resize 400x400 $photo.jpg || fail "no small photos"
done
mkdir photos && cp ring.jpg bowl.jpg photos
convert "$demo/cloths/twill.jpg" -resize 300x300 linen.jpg
convert "$demo/stand.jpg" -resize 900x900 stand.jpg
expect 0 -- "$BACKCLOTH" read ring.jpg --stored
cp out.txt ring.jsonl
expect 0 -- "$BACKCLOTH" read bowl.jpg --mask-out bowl.mask.png
mkdir masks && cp bowl.mask.png masks/bowl.mask.png
cat >plan.json <<END
{"backcloth":1,"title":"T","stand":{"width":300,"wall_height":240},"cloth":{"colour":"#1f2430","width":250,"height":200,
"top":220},"tables":[{"x":150,"width":180,"depth":75,"height":74}],
"pieces":[{"id":"a","title":"The Harvest Bowl","width":30,"height":40,"weight_g":500,"photo":"bowl.jpg","at":[150,150],
"role":"statement","mount":{"kind":"hook","rated_kg":10}},{"id":"b","title":"Ring of Rings","width":28,"height":38,"weight_g":200,"photo":"ring.jpg",
"mount":{"kind":"hook","rated_kg":5}}]}
END
echo '{"cloths":[{"name":"Linen","photo":"linen.jpg"},{"name":"Ink","colour":"#1f2430"},{"name":"Chalk","colour":"#efe6d2"}]}' >cloths.json
printf 'secret\n' >word
export DEMO="$demo"
for part in names wrapped piped; do
  /usr/bin/python3 "$SOURCE/tests/cli/manners/$part.py" >said.txt 2>&1 || fail "$part: $(tail -20 said.txt)"
  checks=$((checks + 1))
done
/usr/bin/python3 "$SOURCE/tests/cli/manners/options.py" >said.txt 2>&1 || fail "options: $(tail -30 said.txt)"

# --- standard input has a name ---
"$BACKCLOTH" read - <ring.jpg >out.txt 2>out.err || fail "a photo on standard input: $(cat out.err)"
grep -q '^standard input: ' out.txt || fail "read - is called: $(head -c 60 out.txt)"

# --- a plan's pieces have their titles, in words, figures and pictures ---
expect 0 'The Harvest Bowl' -- "$BACKCLOTH" match --plan plan.json --cloth '#efe6d2' --why best -o board.svg
grep -q 'The Harvest' board.svg || fail "the board lacks the title"
expect 0 '"title":"The Harvest Bowl"' '"why":{"cloth":0' '"remedy"' -- "$BACKCLOTH" match --plan plan.json --cloth '#efe6d2' \
  --why best --json

# --- src/cli speaks through one file ---
grep -nE '(^|[^a-z_])(printf|fprintf|puts|putchar|fputs|fputc|perror)\(' "$SOURCE"/src/cli/*.c | grep -vE '/(say|terminal)\.c:' >said.txt &&
  fail "not through say.c: $(cat said.txt)"
done_testing
