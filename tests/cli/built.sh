#!/bin/sh
# How the program is built: hardened, and linked with nothing that docs/licence.md doesn't name. The link line itself is
# asked: what the loader is told to bring (readelf, binutils), and what the program itself brings late, by the note for it
# (ELF dlopen metadata, UAPI group).
. "$(dirname "$0")/lib"
licence=$SOURCE/docs/licence.md

readelf -dW "$BACKCLOTH" >dynamic.txt || fail "readelf"
readelf -p .note.dlopen "$BACKCLOTH" 2>/dev/null | sed -n 's/.*"soname":\["\([^"]*\)"\].*/late Shared library: [\1]/p' >>dynamic.txt
readelf -lW "$BACKCLOTH" >segments.txt
readelf -hW "$BACKCLOTH" >head.txt
readelf --dyn-syms -W "$BACKCLOTH" >symbols.txt
checks=1
: >wanted

for library in $(sed -n 's/.*Shared library: \[\(.*\)\].*/\1/p' dynamic.txt); do
  checks=$((checks + 1))
  case $library in libasan* | libubsan* | ld-linux*) continue ;; esac # of a build with sanitizers
  grep -qF "\`$library\`" "$licence" || fail "docs/licence.md does not name $library"
  case $library in libfftw* | libx264* | libgsl* | libreadline*) fail "$library is under the GPL, and so would the program be" ;; esac
done
[ "$checks" -gt 10 ] || fail "the link line was not understood"
for library in $(sed -n 's/^| `\(lib[^`]*\)`.*/\1/p' "$licence"); do # and nothing is named that is not there
  grep -qF "[$library]" dynamic.txt || fail "docs/licence.md names $library, which is not linked"
done

# Type, drawing, server and rare formats come when they are called, all of a library at once, and are then only read.
if grep -q '^late' dynamic.txt; then
  for library in libheif.so.1 libtiff.so.6 libpango-1.0.so.0 libcairo.so.2 libsqlite3.so.0; do
    grep -qF "late Shared library: [$library]" dynamic.txt || fail "$library is brought at every start"
  done
  LD_DEBUG=files "$BACKCLOTH" --version 2>start.txt >/dev/null
  brought=$(sed -n 's/.*calling init: .*\/\(lib[^/]*\)$/\1/p' start.txt | sort -u)
  echo "$brought" | grep -qE 'libjansson' || fail "the loader's report was not understood: $(head -3 start.txt)"
  echo "$brought" | grep -E 'heif|pango|cairo|glib|stdc|sqlite|gnutls' && fail "the above is brought at every start"
  mkdir broken && : >broken/libheif.so.1
  expect 0 -- env LD_LIBRARY_PATH=broken "$BACKCLOTH" read "$demo/photos/ring.jpg" --no-store
  convert "$demo/photos/ring.jpg" -resize 64x64 small.heic 2>/dev/null || cp "$SOURCE"/tests/data/photo/*.heic small.heic
  expect 70 "libheif.so.1 cannot be loaded" "Install backcloth again" -- env LD_LIBRARY_PATH=broken "$BACKCLOTH" read small.heic --no-store
  expect 70 "libheif.so.1 cannot be loaded" -- env LD_LIBRARY_PATH=broken "$BACKCLOTH" read small.heic --no-store --trust
  env LD_DEBUG=files "$BACKCLOTH" read small.heic --no-store --trust 2>&1 | grep -q 'calling init: .*libheif' || fail "libheif is not brought when it is called"
fi

# The bill of materials, by the SPDX Specification 2.3 (clauses 6 to 11: what must be there, and how an identifier looks)
# and against the link line.
bill=$(dirname "$BACKCLOTH")/bill/backcloth.spdx.json
python3 - "$bill" dynamic.txt <<'PYTHON' || fail "the bill of materials"
import json, re, sys
bill = json.load(open(sys.argv[1], encoding="utf-8"))
assert bill["spdxVersion"] == "SPDX-2.3" and bill["dataLicense"] == "CC0-1.0" and bill["SPDXID"] == "SPDXRef-DOCUMENT"
assert bill["name"] and re.fullmatch(r"https://\S+", bill["documentNamespace"]) and "#" not in bill["documentNamespace"]
assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", bill["creationInfo"]["created"]) and bill["creationInfo"]["creators"]
ids = [p["SPDXID"] for p in bill["packages"]]
assert len(set(ids)) == len(ids) and all(re.fullmatch(r"SPDXRef-[A-Za-z0-9.-]+", i) for i in ids), ids
for package in bill["packages"]:
    assert package["name"] and package["downloadLocation"] and package["licenseConcluded"] and package["filesAnalyzed"] is False
for relation in bill["relationships"]:
    assert {relation["spdxElementId"], relation["relatedSpdxElement"]} <= {"SPDXRef-DOCUMENT", *ids}, relation
linked = set(re.findall(r"Shared library: \[(.*?)\]", open(sys.argv[2]).read()))
linked = {l for l in linked if not re.match("ld-linux|libasan|libubsan", l)}
assert linked == {p["name"] for p in bill["packages"]} - {"backcloth", "stb_image"}, linked
PYTHON
checks=$((checks + 1))

grep -q 'Type:.*DYN' head.txt || fail "not position-independent"
grep -q 'GNU_RELRO' segments.txt || fail "no RELRO"
grep -qE 'BIND_NOW|FLAGS.*NOW' dynamic.txt || fail "symbols are bound late (no BIND_NOW)"
grep 'GNU_STACK' segments.txt | grep -q 'RWE' && fail "the stack can be executed"
nm "$BACKCLOTH" 2>/dev/null >all.txt || cp symbols.txt all.txt
# CET: every object of ours marks its jump targets and bears a shadow stack. The program as a whole is marked only where
# the system's own start-up files are, too (Debian 12's are not).
stages=$(dirname "$BACKCLOTH")/src
if [ "$(uname -m)" = x86_64 ] && [ -d "$stages" ] && ! grep -q asan all.txt; then
  for library in "$stages"/libbc_*.a; do
    objects=$(ar t "$library" | wc -l) marked=$(readelf -nW "$library" | grep -c 'x86 feature:.*IBT.*SHSTK')
    [ "$objects" = "$marked" ] || fail "$library: $marked of $objects objects marked for CET"
    nm "$library" 2>/dev/null | grep -q '__stack_chk_fail' || fail "$library: no stack protector"
  done
  start=$(gcc -print-file-name=Scrt1.o)
  if readelf -nW "$start" | grep -q 'IBT.*SHSTK'; then
    readelf -nW "$BACKCLOTH" | grep -q 'IBT.*SHSTK' || fail "the program is not marked for CET, though the system's start-up files are"
  fi
fi
grep -q '__stack_chk_fail' symbols.txt || grep -q asan all.txt || fail "no stack protector"
grep -qE '__(memcpy|snprintf|vsnprintf|read|fread|strcpy|vasprintf|printf|vfprintf)_chk' symbols.txt || grep -q asan all.txt ||
  fail "not fortified"
done_testing
