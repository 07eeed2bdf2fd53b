#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Random requests against every call, always the same ones: broken request lines and headers, hostile JSON, photos
with changed bytes. FUZZ_SECONDS (20) long. The server never ends, never answers 500 and always answers afterwards."""
import json, os, random, re, signal, socket, subprocess, tempfile, time

from server import PHOTO, SOURCE, Server, need

chance = random.Random(20)
ODD = [None, True, 0, -1, 1e308, -1e-308, 2**62, "", "x", "\u202e", "é" * 300, "../../etc/passwd", "photos/x", "%s%n", [], {}, [[]], [1, 2, 3, 4],
       [[1e9, -1e9]], {"a": {"b": []}}, "#12345", "red", "NaN"]
ROUTES = re.findall(r'\{"(GET|POST|PUT|DELETE)", "(/api/[^"]*)"', open(SOURCE + "/src/web/calls/routes.c").read())
KEYS = ["name", "css", "photo", "box", "keep", "drop", "white", "title", "width_cm", "height_cm", "weight_g", "base", "plan", "seed", "text", "on", "done",
        "kind", "days", "photos", "megabytes", "password"]


def bend(value, depth=0):
    """The same JSON with something else somewhere."""
    if isinstance(value, dict) and value and depth < 6:
        value = dict(value)
        key = chance.choice(list(value))
        if chance.random() < 0.15:
            value.pop(key)
        else:
            value[key] = bend(value[key], depth + 1)
        return value
    if isinstance(value, list) and value and depth < 6:
        value = list(value)
        at = chance.randrange(len(value))
        value[at] = bend(value[at], depth + 1)
        return value * chance.choice([1, 1, 1, 3])
    return chance.choice(ODD)


def body_for(path, plan, photo):
    if path.endswith("/photos"):
        bytes_ = bytearray(photo)
        for _ in range(chance.choice([0, 1, 20, 2000])):
            bytes_[chance.randrange(len(bytes_))] = chance.randrange(256)
        return bytes(bytes_[:chance.choice([len(bytes_), chance.randrange(len(bytes_))])])
    if "/plan" in path:
        return json.dumps({"base": chance.choice([0, 1, 2, "x", 10**15]), "plan": bend(plan), "seed": chance.choice(ODD)}).encode()
    text = json.dumps({k: chance.choice(ODD) for k in chance.sample(KEYS, chance.randrange(8))}).encode()
    return text if chance.random() < 0.8 else text[:chance.randrange(len(text) + 1)] + bytes(chance.randrange(256) for _ in range(5))


def request(csrf, ids, plan, photo):
    method, path = chance.choice(ROUTES)
    while method == "DELETE" and path == "/api/makers/*":  # our maker is wanted further on
        method, path = chance.choice(ROUTES)
    while "*" in path:
        path = path.replace("*", chance.choice(ids + ["x", "..", "wall.svg", "a" * 70, "%00", "loads.csv"]) if chance.random() < 0.9 else "", 1)
    if chance.random() < 0.3:
        path += "?" + "&".join(f"{k}={v}" for k, v in ((chance.choice(["light", "distance", "suggest", "n", "link", "language", "units", "save", "kind"]),
                                                        chance.choice(["nan", "-1", "1e300", "%ff", "D65", "A", "hi", "imperial", "3", "99999999999999999999"])) for _ in range(2)))
    body = body_for(path, plan, photo) if method != "GET" else b""
    head = f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Backcloth: {csrf}\r\nContent-Length: {len(body)}\r\nConnection: close\r\n"
    head += chance.choice(["", "X-Name: %FF%FE..%2Fx\r\n", "X-Link: x\r\n", "Cookie: backcloth=a; language=ar\r\n", "Accept-Language: hi,fr;q=0.2\r\n",
                           "Accept-Encoding: gzip\r\n", "Transfer-Encoding: chunked\r\n", "Expect: 100-continue\r\n", "Origin: null\r\n", "X: " + "y" * 30000 + "\r\n"])
    message = bytearray(head.encode() + b"\r\n" + body)
    if chance.random() < 0.2:
        for _ in range(chance.randrange(1, 6)):
            message[chance.randrange(min(len(message), 300))] = chance.randrange(256)
    return bytes(message), f"{method} {path}"


def send(server, message):
    with socket.create_connection(("127.0.0.1", server.port), timeout=1) as one:
        try:
            one.sendall(message)
            one.shutdown(socket.SHUT_WR)
            return one.recv(65536)
        except OSError:
            return b""


def main():
    seconds, statuses, sent = float(os.environ.get("FUZZ_SECONDS", "12")), {}, 0
    with tempfile.TemporaryDirectory() as data, Server(data) as server:
        maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
        photo = open(PHOTO, "rb").read()
        made = server.ask("POST", f"/api/makers/{maker}/photos", photo)[1]["id"]
        server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#1f2430"})
        plan, csrf = server.ask("GET", f"/api/makers/{maker}/plan")[1]["plan"], server.ask("GET", "/api/me")[1]["csrf"]
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            message, what = request(csrf, [maker, made], plan, photo)
            status = send(server, message)[9:12].decode("latin-1")
            statuses[status] = statuses.get(status, 0) + 1
            sent += 1
            need(f"{what} ended the server", server.process.poll() is None)
            need(f"{what} answered 500: {message[:2000]!r}", status != "500")
        need("answers afterwards", server.ask("GET", "/api/health")[0] == 200 and server.ask("GET", f"/api/makers/{maker}")[0] == 200)
    print("requests:", sent, "answers:", dict(sorted(statuses.items())))


main()
