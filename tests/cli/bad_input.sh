#!/bin/sh
# Bad input: a clear sentence, the right exit code, nothing half written, the rest of a batch still done.
. "$(dirname "$0")/lib"

photo=$(ls "$demo"/photos/*.jpg | head -1)
cp "$photo" good.jpg

# --- photos ---
: >empty.jpg
echo "a shopping list" >text.jpg
head -c 20000 good.jpg >cut.jpg
printf '\211PNG\r\n\032\n\0\0\0\015IHDR\0\0\352\140\0\0\352\140\010\002\0\0\0' >huge.png # 60,000 x 60,000
printf '\0\0\0\0' >>huge.png
mkdir folder.jpg

expect 66 missing.jpg -- "$BACKCLOTH" read missing.jpg
expect 65 empty.jpg -- "$BACKCLOTH" read empty.jpg
expect 65 text.jpg -- "$BACKCLOTH" read text.jpg
expect 65 cut.jpg -- "$BACKCLOTH" read cut.jpg
expect 65 huge.png -- "$BACKCLOTH" read huge.png
expect 66 folder.jpg -- "$BACKCLOTH" read folder.jpg
expect 65 cut.jpg '"photo"' -- "$BACKCLOTH" read --json cut.jpg good.jpg # the rest is still read
expect 65 -- "$BACKCLOTH" read --mask-out mask.png cut.jpg
absent mask.png
expect 65 -- "$BACKCLOTH" match cut.jpg --cloth black -o board.png
absent board.png
expect 65 '"cloths"' -- "$BACKCLOTH" match --json cut.jpg good.jpg --cloth black
expect 65 -- "$BACKCLOTH" read good.jpg --box 900000,0,10,10
expect 66 no-mask.png -- "$BACKCLOTH" read good.jpg --mask no-mask.png
expect 73 /no/such/folder -- "$BACKCLOTH" read good.jpg --mask-out /no/such/folder/mask.png

# --- cloths ---
expect 65 notacolour -- "$BACKCLOTH" match good.jpg --cloth notacolour
expect 65 'rgb(1' -- "$BACKCLOTH" match good.jpg --cloth 'rgb(1'
expect 66 none.jpg -- "$BACKCLOTH" match good.jpg --cloth photo:none.jpg
expect 66 none.json -- "$BACKCLOTH" match good.jpg --cloths none.json
echo '{"cloths":[{"name":"Rust","color":"#804020"}]}' >cloths.json
expect 65 cloths.json color -- "$BACKCLOTH" match good.jpg --cloths cloths.json
echo '{"cloths":[' >cloths.json
expect 65 cloths.json 'line 2' -- "$BACKCLOTH" match good.jpg --cloths cloths.json

# --- plans ---
plan() { printf '%s' "$1" >plan.json; }
head='{"backcloth":1,"title":"T","stand":{"width":300,"wall_height":240}'
plan "$head,\"pieces\":[{\"id\":\"a\",\"width\":-4,\"height\":5}]}"
expect 65 plan.json 'line 1' width -- "$BACKCLOTH" loads plan.json
expect 65 plan.json width -- "$BACKCLOTH" elevation plan.json -o wall.png
absent wall.png
plan "$head,\"colour\":\"red\"}"
expect 65 plan.json colour -- "$BACKCLOTH" loads plan.json
plan "$head,\"pieces\":[{\"id\":\"banner\",\"width\":400,\"height\":50,\"at\":[150,150]}]}"
expect 1 banner -- "$BACKCLOTH" plan check plan.json
expect 1 banner -- "$BACKCLOTH" elevation plan.json -o wall.png
plan '{"backcloth":1'
expect 65 'line 1' -- "$BACKCLOTH" loads plan.json
plan ''
expect 65 plan.json -- "$BACKCLOTH" loads plan.json
expect 66 none.json -- "$BACKCLOTH" loads none.json
plan "$head}"
expect 64 -- "$BACKCLOTH" elevation plan.json -o wall.docx
absent wall.docx
expect 73 /no/such/folder -- "$BACKCLOTH" elevation plan.json -o /no/such/folder/wall.png
plan "$head,\"pieces\":[{\"id\":\"a\",\"width\":4,\"height\":5,\"photo\":\"gone.jpg\",\"at\":[150,150]}]}"
expect 66 gone.jpg -- "$BACKCLOTH" elevation plan.json -o wall.png

# --- wrong use ---
expect 64 -- "$BACKCLOTH"
expect 64 bread -- "$BACKCLOTH" bread
expect 64 -- "$BACKCLOTH" read
expect 64 --bix -- "$BACKCLOTH" read --bix good.jpg
expect 64 box -- "$BACKCLOTH" read --box 1,2,3 good.jpg
expect 64 -- "$BACKCLOTH" match good.jpg
expect 64 -- "$BACKCLOTH" elevation plan.json
expect 64 units -- "$BACKCLOTH" loads plan.json --units furlongs
expect 0 usage -- "$BACKCLOTH" --help
expect 0 backcloth -- "$BACKCLOTH" --version
for command in read match elevation loads plan; do
  expect 0 usage -- "$BACKCLOTH" "$command" --help
done
done_testing
