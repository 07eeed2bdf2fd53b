#!/bin/sh
# The renderer of training scenes: the same number gives the same picture, every sixth is bare, the others hold a piece,
# and pictures differ.
set -eu
render=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
mkdir "$folder/one" "$folder/two"
"$render" 12 12 48 "$folder/one"
"$render" 14 2 48 "$folder/two"
cmp "$folder/one/000014.ppm" "$folder/two/000014.ppm"
cmp "$folder/one/000015.pgm" "$folder/two/000015.pgm"
if cmp -s "$folder/one/000014.ppm" "$folder/one/000015.ppm"; then echo "two numbers, one picture"; exit 1; fi
pieces=0
for number in 12 13 14 15 16 17 18 19 20 21 22 23; do
  inside=$(tail -c 2304 "$folder/one/0000$number.pgm" | tr -d '\000' | wc -c)
  [ "$(wc -c < "$folder/one/0000$number.ppm")" -eq $((13 + 3 * 2304)) ]
  if [ $((number % 6)) -eq 5 ]; then
    [ "$inside" -eq 0 ] || { echo "picture $number should be bare"; exit 1; }
  elif [ "$inside" -gt 0 ]; then pieces=$((pieces + 1)); fi
done
[ "$pieces" -ge 9 ] || { echo "only $pieces of 10 pictures hold a piece"; exit 1; }
if "$render" 0 0 48 "$folder" 2> /dev/null; then echo "no pictures were made without a word"; exit 1; fi
if "$render" 0 1 48 "$folder/nowhere" 2> /dev/null; then echo "what cannot be written was not told"; exit 1; fi
