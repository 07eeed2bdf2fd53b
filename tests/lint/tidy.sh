#!/bin/sh
# clang-tidy, with the checks of .clang-tidy, over all of src. Usage: tidy.sh SOURCE_FOLDER BUILD_FOLDER
set -eu
cd "$1"
out=$(mktemp)
trap 'rm -f "$out"' EXIT
find src -name '*.c' ! -path '*/bundle/*' -print0 | xargs -0 -n 8 -P "$(nproc)" clang-tidy -p "$2" --quiet >"$out" 2>/dev/null || status=$?
grep -E 'warning:|error:' "$out" | sort -u || true
exit "${status:-0}"
