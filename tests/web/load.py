#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Many photos at the same moment: all are answered, memory stays bounded, and the page answers meanwhile.
24 uploads; with --full 100. Each is a 12-megapixel JPEG of about 4 MB, made here; a few bytes behind its end make each another file."""
import os, subprocess, sys, tempfile, threading, time

from server import PHOTO, Server, need

COUNT = 100 if "--full" in sys.argv else 24
SANITIZED = "SANITIZED" in os.environ
# A worker may take 1 GiB (src/web/serve.c); two decoders and two desks wait or work. The server itself holds no photo.
SERVER_MOST_MB, ALL_MOST_MB = 200, 1400


def family(of):
    found = [of]
    for one in found:
        try:
            with open(f"/proc/{one}/task/{one}/children") as file:
                found += [int(i) for i in file.read().split()]
        except OSError:
            pass
    return found


def memory_mb(process):
    try:
        with open(f"/proc/{process}/smaps_rollup") as file:
            return next(int(line.split()[1]) for line in file if line.startswith("Pss:")) / 1024
    except (OSError, StopIteration):
        return 0.0


def make_photo(folder):
    name = folder + "/photo.jpg"
    subprocess.run(["convert", "-seed", "1", "-size", "1000x750", "plasma:tan-sienna", "-resize", "4000x3000!", "-attenuate", "0.6", "+noise", "Gaussian",
                    "-quality", "92", "-define", "jpeg:extent=4200KB", name], check=True, timeout=200)
    return open(name, "rb").read()


class Watch(threading.Thread):
    def __init__(self, server, corrected, csrf):
        super().__init__()
        self.server, self.go_on, self.health, self.page, self.own, self.all = server, True, [], [], 0.0, 0.0
        self.corrected, self.csrf, self.strokes = corrected, csrf, []

    def run(self):
        while self.go_on:
            for path, times in (("/api/health", self.health), ("/api/me", self.page)):
                began = time.monotonic()
                need(path, self.server.ask("GET", path)[0] == 200)
                times.append(time.monotonic() - began)
            if len(self.health) % 8 == 0:
                self.stroke()
            each = [memory_mb(i) for i in family(self.server.process.pid)]
            self.own, self.all = max(self.own, each[0]), max(self.all, sum(each))
            time.sleep(0.05)

    def stroke(self):
        """Somebody corrects a cut-out while the others send."""
        began, (width, height) = time.monotonic(), self.corrected["pixels"]
        help_ = {"keep": [[width // 2, height // 2 + len(self.strokes)]], "drop": [[5, 5]]}
        status = self.server.ask("PUT", f"/api/photos/{self.corrected['id']}/help", help_, {"X-Backcloth": self.csrf}, csrf=False)[0]
        need(f"a stroke meanwhile: {status}", status == 200)
        self.strokes.append(time.monotonic() - began)


def main():
    with tempfile.TemporaryDirectory() as data, tempfile.TemporaryDirectory() as aside:
        photo = make_photo(aside)
        print(f"photos of {len(photo) / 1e6:.1f} MB")
        with Server(data) as server:
            maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
            corrected = server.ask("POST", f"/api/makers/{maker}/photos", open(PHOTO, "rb").read(), {"X-Name": "vase.jpg"})[1]
            csrf, answers = server.ask("GET", "/api/me")[1]["csrf"], [None] * COUNT

            def send(i):
                try:
                    answers[i] = server.ask("POST", f"/api/makers/{maker}/photos", photo + b"%d" % i, {"X-Name": f"{i}.jpg", "X-Backcloth": csrf}, csrf=False, wait=900)
                except OSError as error:
                    answers[i] = (0, str(error))
            watch, began = Watch(server, corrected, csrf), time.monotonic()
            senders = [threading.Thread(target=send, args=(i,)) for i in range(COUNT)]
            watch.start()
            [s.start() for s in senders], [s.join() for s in senders]
            took = time.monotonic() - began
            watch.go_on = False
            watch.join()
            with open(f"/proc/{server.process.pid}/status") as file:
                peak = next(int(line.split()[1]) for line in file if line.startswith("VmHWM")) / 1024
            bad = [a for a in answers if a[0] != 201]
            health, page = sorted(watch.health), sorted(watch.page)
            print(f"strokes meanwhile: {[round(1000 * t) for t in watch.strokes]} ms")
            print(f"{COUNT} uploads in {took:.1f} s; server {peak:.0f} MB at most, with all its workers {watch.all:.0f} MB (PSS); "
                  f"health: median {1000 * health[len(health) // 2]:.0f} ms, worst {1000 * health[-1]:.0f} ms of {len(health)}; "
                  f"/api/me: median {1000 * page[len(page) // 2]:.0f} ms, worst {1000 * page[-1]:.0f} ms")
            need(f"all are answered and kept: {bad[:3]}", not bad)
            need("all are there", len(server.ask("GET", f"/api/makers/{maker}")[1]["photos"]) == COUNT + 1)
            if not SANITIZED:
                need("memory of the server", peak < SERVER_MOST_MB)
                need("memory of all", watch.all < ALL_MOST_MB)
            # The machine may be busy with other things: a figure in ms is for reading, the bound for what is plainly wrong.
            need("the page is answered while photos are read", health[len(health) // 2] < 1 and health[-1] < 5)


main()
