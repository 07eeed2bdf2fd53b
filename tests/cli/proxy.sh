#!/bin/sh
# The guide for a small server, as it is written: its nginx lines, with this test's port and certificate, before a server with
# a password; entering, adding a maker, a photo through the proxy, backup while it serves, and the backup brought back.
. "$(dirname "$0")/lib"
: >wanted
checks=1
for needed in nginx openssl curl; do
  command -v $needed >/dev/null || { echo "skipped: no $needed"; done_testing; exit; }
done
echo 'a good long word' >password
openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=stand.example -addext subjectAltName=DNS:stand.example \
  -keyout stand.key -out stand.pem 2>/dev/null || fail "no certificate"
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
"$BACKCLOTH" serve --port 0 --data kept --password-file password --public-url "https://stand.example:$port" >address.txt 2>serve.err &
server=$!
trap 'kill $server 2>/dev/null; [ ! -f nginx.pid ] || kill "$(cat nginx.pid)" 2>/dev/null; sleep 0.2; rm -rf "$folder"' EXIT
n=0
until [ -s address.txt ] || [ $n = 100 ]; do n=$((n + 1)); sleep 0.1; done
own=$(sed -n 's|.*:\([0-9]*\)/*$|\1|p' address.txt | head -1)
[ "$own" ] || { own=$(python3 - $server <<'P'
import subprocess, sys
print(next(l.split()[3].rsplit(":", 1)[1] for l in subprocess.run(["ss", "-ltnpH"], capture_output=True, text=True).stdout.splitlines() if f"pid={sys.argv[1]}," in l))
P
); }
{
  echo "pid $folder/nginx.pid; error_log $folder/error.log; daemon on; worker_processes 1;"
  [ "$(id -u)" != 0 ] || echo 'user root;'
  echo 'events {} http { access_log off;'
  for kind in client_body proxy fastcgi uwsgi scgi; do echo "${kind}_temp_path $folder/$kind;"; done
  sed -n '/^```nginx$/,/^```$/p' "$SOURCE/docs/server.md" | sed '1d;$d' |
    sed "s|listen 443|listen 127.0.0.1:$port|; s|/etc/ssl|$folder|; s|127.0.0.1:8137|127.0.0.1:$own|; s|Host \$host|Host \$http_host|"
  echo '}'
} >nginx.conf
nginx -c "$folder/nginx.conf" -e "$folder/error.log" 2>said.txt || fail "nginx does not take the guide's lines: $(head -3 said.txt)"
call() { curl -s --cacert stand.pem --resolve "stand.example:$port:127.0.0.1" -b jar -c jar -H "X-Backcloth: ${csrf:-}" "$@"; }
url=https://stand.example:$port
call "$url/" | grep -q '<html' || fail "no page through the proxy: $(head -2 error.log)"
role() { call "$url/api/me" | python3 -c 'import json, sys; m = json.load(sys.stdin); print(m[sys.argv[1]])' "$1"; }
csrf=$(role csrf)
[ "$(role role)" = nobody ] || fail "without the password one is $(role role)"
call -X POST -d '{"password":"another word"}' -o /dev/null -w '%{http_code}' "$url/api/enter" | grep -q '^4' || fail "a wrong password opens"
call -X POST -d '{"password":"a good long word"}' "$url/api/enter" >out.txt
csrf=$(role csrf)
[ "$(role role)" = owner ] || fail "the password does not open: $(cat out.txt)"
maker=$(call -X POST -d '{"name":"Ilse Quarrow"}' "$url/api/makers" | python3 -c 'import json, sys; print(json.load(sys.stdin)["id"])')
[ "$maker" ] || fail "no maker"
call -X POST --data-binary @"$demo/photos/basket-round.jpg" -H 'X-Name: basket.jpg' "$url/api/makers/$maker/photos" >photo.json
grep -q '"reading"' photo.json || fail "no photo through the proxy: $(head -c 300 photo.json)"
expect 0 -- "$BACKCLOTH" serve --data kept --export stand.zip
expect 0 -- "$BACKCLOTH" serve --data back --import stand.zip
[ -n "$(find back/photos -type f)" ] || fail "the backup brought no photo back"
done_testing
