#!/bin/sh
# Every source file is as clang-format 14 writes it. Usage: format.sh SOURCE_FOLDER
set -eu
cd "$1"
find src include tests -name node_modules -prune -o -name '*.[ch]' -print0 | xargs -0 clang-format --dry-run -Werror
