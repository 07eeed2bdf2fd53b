#!/bin/sh
# The same source built in another folder gives the same bytes: program, libraries, man pages, completions, packages. No cache
# of the compiler helps.
. "$(dirname "$0")/lib"
: >wanted
build=$(dirname "$BACKCLOTH")
version=$("$BACKCLOTH" --version | cut -d" " -f2)
machine=$(dpkg --print-architecture 2>/dev/null || echo amd64)
if [ ! -f "$build/lib/libbackcloth.a" ]; then
  echo "this build makes no library (sanitizers)"
  checks=1
  done_testing
  exit
fi
export CCACHE_DISABLE=1
date=${SOURCE_DATE_EPOCH:-$(git -C "$SOURCE" log -1 --format=%ct 2>/dev/null || echo 1767225600)}
export SOURCE_DATE_EPOCH=$date
make_in() { # FOLDER: a copy of the source is built there
  mkdir -p "$1"
  (cd "$SOURCE" && tar -cf - --exclude=./build --exclude=./.git .) | tar -C "$1" -xf -
  cmake -S "$1" -B "$1/build" -DCMAKE_BUILD_TYPE=Release -DBC_TESTS=OFF -DBC_BENCH=OFF >/dev/null &&
    cmake --build "$1/build" -j "$(nproc)" --target packages >made.txt 2>&1 || fail "$1: $(tail -3 made.txt)"
}
make_in "$folder/one"
make_in "$folder/a/much/longer/way to another"
for file in backcloth lib/libbackcloth.so.$version lib/libbackcloth.a manual-made/man/backcloth-match.1 manual-made/bash/backcloth \
  locale/ar/LC_MESSAGES/backcloth.mo bill/backcloth.spdx.json packages/backcloth_${version}_${machine}.deb \
  packages/libbackcloth1_${version}_${machine}.deb packages/libbackcloth-dev_${version}_${machine}.deb; do
  checks=$((checks + 1))
  cmp "$folder/one/build/$file" "$folder/a/much/longer/way to another/build/$file" || fail "$file differs"
done
grep -q "$folder" "$folder/one/build/backcloth" && fail "the program names the folder in which it was built"
done_testing
