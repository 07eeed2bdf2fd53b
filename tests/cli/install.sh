#!/bin/sh
# What is installed runs from wherever it is moved to, in every language, and other programs find the library.
. "$(dirname "$0")/lib"
build=$(dirname "$BACKCLOTH")
if [ ! -f "$build/lib/libbackcloth.a" ]; then
  echo "this build makes no library (sanitizers)"
  done_testing
fi

expect 0 -- cmake --install "$build" --prefix "$PWD/first"
mv first moved
: >moved/bin/locale # as /usr/bin has one, which is no folder of catalogues
unset LANGUAGE LC_ALL LC_MESSAGES
for language in es fr hi ar; do
  LANGUAGE=$language LANG=C.UTF-8 moved/bin/backcloth loads "$SOURCE/assets/demo/plan.json" >$language.txt
  if cmp -s $language.txt es.txt && [ $language != es ]; then fail "$language: not translated"; fi
done
LANG=C.UTF-8 moved/bin/backcloth loads "$SOURCE/assets/demo/plan.json" >en.txt
if cmp -s en.txt es.txt; then fail "es: an installed program does not find its catalogues"; fi

# Only what public headers declare is seen, and all of it has a version.
shared=$(find moved -name 'libbackcloth.so.*.*')
nm -D --defined-only "$shared" | awk '{print $3}' | sed 's/@@BACKCLOTH_1$//' | grep -v '^BACKCLOTH_1$' >seen.txt
if grep '@' seen.txt || grep -v '^bc_' seen.txt; then fail "the library shows more than its interface"; fi
grep -qx bc_match_rank seen.txt || fail "bc_match_rank is not to be seen"
while read -r name; do
  grep -qrw "$name" moved/include || fail "$name is visible, but in no public header"
done <seen.txt

# The example of docs, against the installed copy: shared and static by pkg-config, and by CMake.
export PKG_CONFIG_PATH="$(dirname "$(find "$PWD/moved" -name backcloth.pc)")"
library=$(dirname "$shared")
cc "$SOURCE/docs/example/clearest.c" $(pkg-config --cflags --libs backcloth) -Wl,-rpath,"$PWD/$library" -o shared || fail "does not build"
photo=$SOURCE/assets/demo/photos/basket-round.jpg
expect 0 -- ./shared "$photo"
./shared "$photo" >shared.json
"$BACKCLOTH" match "$photo" --cloth '#22432f' --cloth white --json >program.json
cmp shared.json program.json || fail "the library and the program give other figures"
# The static one, with the shared libraries of others: not all of these have what `pkg-config --static` asks of them.
cc "$SOURCE/docs/example/clearest.c" $(pkg-config --cflags backcloth) "$library/libbackcloth.a" \
  $(pkg-config --libs $(pkg-config --print-requires-private backcloth)) -lm -pthread -o static || fail "the static library does not link"
./static "$photo" >static.json
cmp shared.json static.json || fail "the static library gives other figures"
mkdir project
cat >project/CMakeLists.txt <<E2
cmake_minimum_required(VERSION 3.25)
project(example LANGUAGES C)
find_package(backcloth REQUIRED)
add_executable(example $SOURCE/docs/example/clearest.c)
target_link_libraries(example PRIVATE backcloth::backcloth)
E2
cmake -S project -B project/build -DCMAKE_PREFIX_PATH="$PWD/moved" >/dev/null && cmake --build project/build >/dev/null ||
  fail "find_package(backcloth) does not serve"
project/build/example "$photo" >package.json
cmp shared.json package.json || fail "the CMake package gives other figures"
done_testing
