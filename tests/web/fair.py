#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Nobody keeps the others waiting, and nobody fills the memory: a link that only looks sends plan checks and pictures without
end while the owner works; before login 800 connections send what they like; one address has 32 of them."""
import http.client, json, socket, subprocess, sys, tempfile, threading, time

from server import PHOTO, PROGRAM, Server, need

PASSWORD = "quince and copper"
SENDERS, SECONDS = 40, 8
CONNECTIONS, MOST_MB, AN_ADDRESS = 800, 64, 32


def large_plan(pieces):
    return {"backcloth": 1, "title": "Wall", "stand": {"width": 900, "wall_height": 300}, "gap": 0,
            "pieces": [{"id": f"p{i}", "width": 9, "height": 9, "weight_g": 90, "at": [5 + i * 37 % 890, 5 + i * 11 % 290],
                        "mount": {"kind": "hook", "rated_kg": 2}} for i in range(pieces)]}


class Sender(threading.Thread):
    """Sends one thing again and again over one connection, and counts the answers."""
    def __init__(self, port, method, path, body, headers):
        super().__init__()
        self.port, self.what, self.go_on, self.times, self.wrong = port, (method, path, body, headers), True, [], None

    def run(self):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        while self.go_on:
            began = time.monotonic()
            connection.request(*self.what)
            answer = connection.getresponse()
            answer.read()
            self.wrong = self.wrong or (answer.status if answer.status != 200 else None)
            self.times.append(time.monotonic() - began)
        connection.close()


def check_link():
    with tempfile.TemporaryDirectory() as data, Server(data) as server:
        maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
        need("a photo", server.ask("POST", f"/api/makers/{maker}/photos", open(PHOTO, "rb").read(), {"X-Name": "vase.jpg"})[0] == 201)
        server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#1f2430"})
        link = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share"})[1]
        token = link["url"].rsplit("/", 1)[1]
        by_link = {"X-Link": token}
        status, me = server.ask("GET", "/api/me", headers=by_link)
        need(f"the link looks: {me}", status == 200 and me["role"] == "viewer")
        plan = f"/api/makers/{maker}/plan"
        body = json.dumps({"plan": large_plan(700)}).encode()
        small = json.dumps({"plan": server.ask("GET", plan)[1]["plan"]}).encode()
        sent = {**by_link, "X-Backcloth": me["csrf"]}
        owner_csrf = server.ask("GET", "/api/me")[1]["csrf"]
        flood = [Sender(server.port, "POST", plan + "/check", body, sent) for _ in range(SENDERS * 3 // 4)]
        flood += [Sender(server.port, "GET", f"/api/makers/{maker}/files/wall.png", None, by_link) for _ in range(SENDERS // 4)]
        owner = [Sender(server.port, "POST", plan + "/check", small, {"X-Backcloth": owner_csrf}),
                 Sender(server.port, "GET", f"/api/makers/{maker}/match", None, {}), Sender(server.port, "GET", plan, None, {})]
        [one.start() for one in flood]
        time.sleep(1)
        [one.start() for one in owner]
        time.sleep(SECONDS)
        for one in flood + owner:
            one.go_on = False
        [one.join() for one in flood + owner]
        for one in flood + owner:
            need(f"{one.what[1]}: {one.wrong}", one.times and not one.wrong)
        theirs = sorted(t for one in flood for t in one.times)
        theirs_each = theirs[len(theirs) // 2]
        for one in owner:
            each = sorted(one.times)
            print(f"{one.what[0]} {one.what[1].split('/', 4)[-1]}: {len(each)} answers, median {1000 * each[len(each) // 2]:.0f} ms, worst {1000 * each[-1]:.0f} ms")
            need("whoever asks for one thing at a time is not in line behind the forty of a link", each[len(each) // 2] < theirs_each / 4)
        print(f"the link's {SENDERS} senders: {len(theirs)} answers, median {1000 * theirs_each:.0f} ms")
        need("the link is answered, too", len(theirs) >= SENDERS)


def memory_mb(process):
    with open(f"/proc/{process}/smaps_rollup") as file:
        return next(int(line.split()[1]) for line in file if line.startswith("Rss:")) / 1024


def send_what_it_takes(address, port, csrf):
    """A head of nearly the most that is read, then as much of a body as the other side takes."""
    one = socket.create_connection((address, port), timeout=20)
    head = f"POST /api/enter HTTP/1.1\r\nHost: {address}\r\nX-Backcloth: {csrf}\r\nX-Filler: " + "a" * 20000 + "\r\nContent-Length: 4000000\r\n\r\n"
    one.sendall(head.encode())
    one.setblocking(False)
    try:
        for _ in range(60):
            one.send(b"{" + b" " * 65000)
    except OSError:
        pass
    return one


def check_memory():
    with tempfile.TemporaryDirectory() as data, tempfile.NamedTemporaryFile("w") as secret:
        secret.write(PASSWORD + "\n"), secret.flush()
        with Server(data, "--password-file", secret.name) as server:
            csrf = server.ask("GET", "/api/me")[1]["csrf"]
            before = memory_mb(server.process.pid)
            held = [send_what_it_takes("127.0.0.1", server.port, csrf) for _ in range(CONNECTIONS - 10)]
            peak = before
            for _ in range(20):
                time.sleep(0.1)
                peak = max(peak, memory_mb(server.process.pid))
            print(f"before login {len(held)} connections take {peak - before:.0f} MB (RSS {before:.0f} -> {peak:.0f} MB)")
            need(f"at most {MOST_MB} MB before login", peak - before <= MOST_MB)
            began = time.monotonic()
            need("another is answered", server.ask("GET", "/api/health", wait=20)[0] == 200 and time.monotonic() - began < 5)
            [one.close() for one in held]
            status, refused = server.ask("POST", "/api/enter", {"password": "x" * 5000})
            need(f"a password of 5,000 letters is refused in words: {status}", status == 413 and "Log in first" in refused["error"]["what"])


def own_address():
    found = [one for one in subprocess.run(["hostname", "-I"], capture_output=True, text=True).stdout.split() if "." in one and not one.startswith("127.")]
    return found[0] if found else None


def check_address():
    address = own_address()
    if not address:
        return print("no address but the loopback here: connections an address not tried")
    with tempfile.TemporaryDirectory() as data, tempfile.NamedTemporaryFile("w") as secret:
        secret.write(PASSWORD + "\n"), secret.flush()
        with Server(data, "--password-file", secret.name, "--bind", "0.0.0.0") as server:
            answered, held = 0, []
            for _ in range(AN_ADDRESS + 8):
                one = socket.create_connection((address, server.port), timeout=3)
                held.append(one)
                one.sendall(f"GET /api/health HTTP/1.1\r\nHost: {address}:{server.port}\r\n\r\n".encode())
                try:
                    answered += one.recv(100).startswith(b"HTTP/1.1")
                except OSError:
                    pass
            print(f"of {len(held)} connections from one address {answered} are answered")
            need(f"{AN_ADDRESS} connections an address", answered == AN_ADDRESS)
            need("others go on", server.ask("GET", "/api/health")[0] == 200)


check_link()
check_memory()
check_address()
