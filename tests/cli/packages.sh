#!/bin/sh
# The Debian packages in a bare root: they install with what they depend on, every command runs there as nobody in
# particular, in every language, the page answers, another program builds against the library, and nothing is left when they
# are purged. Needs root and the network of Debian's archive, or BASE=TAR with a root (mmdebstrap --variant=minbase bookworm TAR).
. "$(dirname "$0")/lib"
: >wanted
build=$(dirname "$BACKCLOTH")
skip() {
  echo "skipped: $*"
  checks=1
  done_testing
  exit
}
[ "$(id -u)" = 0 ] || skip "only root may make a root"
[ -f "$build/lib/libbackcloth.a" ] || skip "this build makes no library (sanitizers)"
command -v mmdebstrap >/dev/null || skip "no mmdebstrap"
command -v dpkg-shlibdeps >/dev/null || skip "no dpkg-shlibdeps (dpkg-dev)"
cmake --build "$build" --target packages >made.txt 2>&1 || { fail "packages: $(tail -5 made.txt)"; done_testing; exit; }

# Correct by the archive's own records: each shared library has its package.
for package in backcloth libbackcloth1; do
  dpkg-deb -f "$build"/packages/${package}_*.deb Depends >depends.txt
  for needed in libc6 libcairo2 liblcms2-2 libpng16-16 libarchive13; do
    grep -q "\\b$needed\\b" depends.txt || fail "$package does not depend on $needed"
  done
done
dpkg-deb -f "$build"/packages/libbackcloth-dev_*.deb Depends | grep -q 'libbackcloth1 (= ' || fail "libbackcloth-dev without its library"
for package in "$build"/packages/*.deb; do
  dpkg-deb -c "$package" | awk '{print $6}' | grep -vE '^\./(usr/?|usr/(bin|lib|share|include)/.*)?$' && fail "$package has files outside /usr"
done

root=$folder/root
inside() { chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/tmp DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 "$@"; }
mkdir "$root"
if [ "${BASE:-}" ]; then
  tar -C "$root" -xf "$BASE" || skip "$BASE cannot be unpacked"
else
  mmdebstrap --quiet --variant=minbase bookworm "$root" http://deb.debian.org/debian >/dev/null 2>said.txt || skip "Debian's archive is not to be reached: $(tail -1 said.txt)"
fi
mount -t proc proc "$root/proc" || skip "nothing may be mounted here"
mount --bind /dev "$root/dev"
server=
leave() {
  [ -z "$server" ] || kill "$server" 2>/dev/null
  umount "$root/dev" "$root/proc" && rm -rf --one-file-system "$root"
}
trap '[ ! -d "$root" ] || leave; rm -rf --one-file-system "$folder"' EXIT
cp /etc/resolv.conf "$root/etc/resolv.conf"
mkdir "$root/packages"
cp "$build"/packages/*.deb "$root/packages"
cp -r "$SOURCE/assets/demo" "$root/tmp/demo"
chmod -R a+rwX "$root/tmp/demo"
inside apt-get update -qq >/dev/null 2>&1
inside apt-get install -y -qq --no-install-recommends fonts-noto-core >/dev/null 2>said.txt || skip "fonts cannot be fetched: $(tail -1 said.txt)"
listing() { inside find / -xdev \( -path /proc -o -path /dev -o -path /var -o -path /tmp -o -path /etc -o -path /run \) -prune -o -print | sort; }

# Their dependencies first, so that what is left behind afterwards can be told.
deps=$(inside sh -c 'for p in /packages/backcloth_*.deb /packages/libbackcloth1_*.deb; do dpkg-deb -f $p Depends; echo; done' | tr ',' '\n' | sed 's/(.*//' | sort -u | tr '\n' ' ')
inside apt-get install -y -qq --no-install-recommends $deps >/dev/null 2>said.txt || fail "dependencies: $(tail -3 said.txt)"
listing >before.txt
inside sh -c 'apt-get install -y -qq --no-install-recommends /packages/backcloth_*.deb /packages/libbackcloth1_*.deb' >/dev/null 2>said.txt || fail "does not install: $(tail -5 said.txt)"

as_maker() { chroot --userspec=65534:65534 "$root" env -i PATH=/usr/bin:/bin HOME=/tmp/demo LC_ALL=C.UTF-8 ${speak:+LANGUAGE=$speak} sh -c "cd /tmp/demo && $1" >out.txt 2>out.err; }
try() { # CODES COMMAND LINE
  as_maker "$2"
  got=$?
  checks=$((checks + 1))
  case " $1 " in *" $got "*) ;; *) fail "exit $got instead of $1: ${speak:-en}: $2 -- $(head -c 300 out.err)" ;; esac
}
speak=
try 0 'backcloth --version'
try 0 'backcloth read photos/basket-round.jpg --mask-out made-mask.png'
try 0 'backcloth match photos/basket-round.jpg photos/cuff.jpg --cloth white --cloth black -o board.png'
try 0 'backcloth look stand.jpg --wall-width 300 -o look.png'
try '0 1' 'backcloth plan check plan.json'
try '0 1' 'backcloth arrange plan.json -o arranged.json'
try '0 1' 'backcloth elevation arranged.json -o wall.pdf'
try '0 1' 'backcloth packing arranged.json'
mkdir -p "$root/tmp/demo/makers/quarrow" && cp "$root/tmp/demo/photos/basket-round.jpg" "$root/tmp/demo/makers/quarrow" && chmod -R a+rwX "$root/tmp/demo/makers"
try 0 'backcloth feedback makers/quarrow -o sheets --cloths cloths.json'
for speak in en es fr hi ar; do
  try '0 1' 'backcloth loads arranged.json'
  cp out.txt loads.$speak
  try '0 1' "backcloth sheet arranged.json -o sheet-$speak.pdf"
  [ -s "$root/tmp/demo/sheet-$speak.pdf" ] || fail "$speak: no sheet"
  [ $speak = en ] || ! cmp -s loads.en loads.$speak || fail "$speak: not translated"
done
chroot --userspec=65534:65534 "$root" env -i PATH=/usr/bin:/bin HOME=/tmp/demo LC_ALL=C.UTF-8 backcloth serve --port 0 --data /tmp/demo/kept >address.txt 2>serve.err &
server=$!
n=0
until [ -s address.txt ] || [ $n = 100 ]; do n=$((n + 1)); sleep 0.1; done
address=$(head -1 address.txt | sed "s|/*$||")
curl -sf "$address/" >page.html && grep -q '<html' page.html || fail "no page at '$address': $(head -3 serve.err)"
curl -sf "$address/api/health" | grep -q '"ok":true' || fail "the server is not well"
for language in es fr hi ar; do
  curl -sf "$address/api/words?language=$language" >words.$language || fail "no words in $language"
done
! cmp -s words.es words.ar || fail "the page does not speak"
kill "$server"; wait "$server" 2>/dev/null; server=
inside test -f /usr/lib/systemd/user/backcloth.service || fail "no user unit"
command -v systemd-analyze >/dev/null && { systemd-analyze --root="$root" --user verify /usr/lib/systemd/user/backcloth.service 2>unit.txt; grep backcloth unit.txt | grep -v 'man:' && fail "the user unit: $(cat unit.txt)"; }
for page in backcloth backcloth-match; do inside test -f /usr/share/man/man1/$page.1 || fail "no man page $page"; done

inside sh -c 'apt-get purge -y -qq backcloth libbackcloth1' >/dev/null 2>said.txt || fail "does not go: $(tail -3 said.txt)"
listing >after.txt
diff before.txt after.txt >left.txt || fail "left behind, or taken along: $(head -5 left.txt)"
inside dpkg --audit | grep . && fail "dpkg is not at peace"
leave
done_testing
