#!/bin/sh
# The man pages: one per command and one of the whole, each with the sections that man-pages(7) lists, every option that
# --help names, and nothing that man complains about.
. "$(dirname "$0")/lib"
pages=${MANUAL:?where the build put man pages}/man
: >wanted
"$BACKCLOTH" --help >help.txt
for command in '' $(sed -n 's/^  \([a-z]*\)  .*/\1/p' help.txt); do
  page=$pages/backcloth${command:+-$command}.1
  [ -f "$page" ] || { fail "no page $page"; continue; }
  for section in NAME SYNOPSIS DESCRIPTION OPTIONS '"EXIT STATUS"' FILES ENVIRONMENT EXAMPLES '"SEE ALSO"'; do
    grep -qx "\.SH $section" "$page" || fail "$command: no section $section"
  done
  if command -v man >/dev/null; then
    LC_ALL=C.UTF-8 MANROFFSEQ='' MANWIDTH=100 man --warnings -E UTF-8 -l -Tutf8 -Z "$page" >/dev/null 2>said.txt
    [ ! -s said.txt ] || fail "$command: man says $(head -3 said.txt)"
  fi
  [ "$command" ] || continue
  "$BACKCLOTH" "$command" --help >said.txt
  for option in $(grep -o '^  \(-[a-z], \)\{0,1\}--[a-z-]*' said.txt | grep -o -- '--[a-z-]*'); do
    escaped=$(echo "$option" | sed 's/-/\\\\-/g')
    grep -q "$escaped\\\\fR" "$page" || fail "$command: the page lacks $option"
    checks=$((checks + 1))
  done
done
[ "$checks" -gt 80 ] || fail "only $checks options were found"
done_testing
