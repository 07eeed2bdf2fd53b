#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Backups: an archive made while others save, read without the program (Python's zipfile and html.parser), and a
folder made of it; a damaged database, of which what can be read is kept. Byte flips of the database: LONG=1 for the
long run, FLIPS=1000 for a longer one; never a wrong answer with status 200."""
import hashlib, html.parser, json, os, random, shutil, subprocess, sys, tempfile, threading, time, urllib.parse, zipfile

from keeping import files_below, new_maker, photo_bytes, place, refusal, send, tree
from server import PROGRAM, Server, need

FLIPS = int(os.environ.get("FLIPS", "400" if "LONG" in os.environ else "40"))


def program(*arguments):
    done = subprocess.run([PROGRAM, "serve", *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, timeout=300)
    return done.returncode, done.stdout + done.stderr


def fill(server):
    maker = new_maker(server, 'Ilse "Q" <Quarrow>/..')
    first, second = send(server, maker, 1, "vase.jpg"), send(server, maker, 2, "vase.jpg")
    server.ask("PUT", f"/api/photos/{first['id']}", {"title": "Tall & green <vase>", "width_cm": 12.5, "weight_g": 900})
    server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#1f2430", "name": "Night"})
    server.ask("POST", f"/api/makers/{maker}/comments", {"text": "Why so low?", "on": {}})
    place(server, maker, first["id"], {"at": [120, 150]})
    send(server, maker, 3, "textile.jpg", "cloth")
    gone = send(server, maker, 4, "bowl.jpg")
    server.ask("DELETE", f"/api/photos/{gone['id']}")
    return maker


def everything(server):
    """All that the server says of all that it keeps."""
    makers = sorted(server.ask("GET", "/api/makers")[1], key=lambda m: m["id"])
    return makers, [server.ask("GET", f"/api/makers/{m['id']}")[1] for m in makers], [server.ask("GET", f"/api/makers/{m['id']}/trash")[1] for m in makers], [
        server.ask("GET", f"/api/makers/{m['id']}/match")[0] for m in makers]


class Page(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.pictures, self.text = [], ""

    def handle_starttag(self, tag, attributes):
        if tag == "img":
            self.pictures.append(urllib.parse.unquote(dict(attributes)["src"]))

    def handle_data(self, data):
        self.text += data


def check_archive(archive, count):
    with zipfile.ZipFile(archive) as zip_file:
        need("whole", zip_file.testzip() is None)
        names = zip_file.namelist()
        need(f"names that any system takes: {names}", all(".." not in n.split("/") and not set(n) & set('\\:*?"<>|') and not n.startswith("/") for n in names))
        page = Page()
        page.feed(zip_file.read("index.html").decode())
        need(f"each photo is on the page: {page.pictures}", len(page.pictures) == count and set(page.pictures) <= set(names))
        for typed in ('Ilse "Q" <Quarrow>/..', "Tall & green <vase>", "12.5 cm", "900 g", "Night: #1f2430", "Why so low?"):
            need(f"what was typed can be read: {typed}", typed in page.text)
        sent = {hashlib.sha256(photo_bytes(n)).digest() for n in range(1, count + 1)}
        need("the photos as they were sent", sent == {hashlib.sha256(zip_file.read(n)).digest() for n in page.pictures})


def check_export(aside):
    data, archive = aside + "/data", aside + "/stand.zip"
    with Server(data) as server:
        maker = fill(server)
        go_on, saved = True, [0]

        def save():
            while go_on:
                now = server.ask("GET", f"/api/makers/{maker}/plan")[1]
                now["plan"]["title"] = f"Stand {saved[0]}"
                saved[0] += server.ask("PUT", f"/api/makers/{maker}/plan", {"base": now["revision"], "plan": now["plan"]})[0] == 200
        saver = threading.Thread(target=save)
        saver.start()
        while saved[0] < 3:
            time.sleep(0.05)
        before = saved[0]
        code, said = program("--data", data, "--export", archive)
        go_on = False
        saver.join()
        need(f"an archive while others save: {said}", code == 0 and "makers 1, photos 4" in said)
        check_archive(archive, 4)
        code, said = program("--data", data, "--export", archive)
        wanted = everything(server)
        need(f"made anew over the old one: {said}", code == 0)
    need("nothing else is left beside it", sorted(os.listdir(aside)) == ["data", "stand.zip"])
    code, said = program("--data", aside + "/back", "--import", archive)
    need(f"and back: {said}", code == 0 and "photos 4" in said)
    with Server(aside + "/back") as server:
        need("all as it was", everything(server) == wanted)
    for name in ("back", "data"):
        before = tree(aside + "/" + name)
        code, said = program("--data", f"{aside}/{name}", "--import", archive)
        need(f"never into a folder with something in it: {said}", code != 0 and {n: b for n, b in tree(f"{aside}/{name}").items()} == before)
    whole = open(archive, "rb").read()
    for number, spoilt in enumerate((b"", b"words", whole[:len(whole) // 2], whole[:5000] + bytes(2000) + whole[7000:])):
        with open(aside + "/spoilt.zip", "wb") as file:
            file.write(spoilt)
        code, said = program("--data", f"{aside}/spoilt{number}", "--import", aside + "/spoilt.zip")
        need(f"a damaged archive is told: {said}", code != 0 and "archive" in said)
        need("and never served", refusal(f"{aside}/spoilt{number}")[0] != 0 or not files_below(f"{aside}/spoilt{number}/photos"))
    need("a wrong name", program("--data", data, "--export", aside + "/photo.jpg")[0] == 64)
    need("no data folder", program("--data", aside + "/nowhere", "--export", aside + "/none.zip")[0] != 0 and not os.path.exists(aside + "/none.zip"))
    return data, maker, wanted


# --- a damaged database -------------------------------------------------------------------------------------------

def start(data, *options):
    process = subprocess.Popen([PROGRAM, "serve", "--port", "0", "--data", data, *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    address = process.stdout.readline()
    if not address:
        return None, process.communicate(timeout=60)[1], process.returncode
    return process, address, 0


class Running(Server):
    """A server that was started already."""
    def __init__(self, data, process, address):
        super().__init__(data)
        self.process, self.port = process, int(address.strip().rsplit(":", 1)[1].strip("/"))

    def __enter__(self):
        return self


def check_recover(aside, data, wanted):
    shutil.copytree(data, aside + "/torn")
    with open(aside + "/torn/backcloth.sqlite", "r+b") as file:
        file.seek(3 * 4096 + 100)
        file.write(b"\x55" * 600)
    photos = files_below(aside + "/torn/photos")
    code, said = refusal(aside + "/torn")
    need(f"a damaged database is told, with what to do: {said}", code == 65 and "--recover" in said and "--import" in said)
    need("and nothing was changed", files_below(aside + "/torn/photos") == photos)
    os.mkdir(aside + "/bare")
    shutil.copy(data + "/backcloth-data.txt", aside + "/bare")
    shutil.copytree(data + "/photos", aside + "/bare/photos")
    for name in ("torn", "bare"):
        process, address, _ = start(f"{aside}/{name}", "--recover")
        need(f"{name}: {address}", process)
        with Running(f"{aside}/{name}", process, address) as server:
            makers = server.ask("GET", "/api/makers")[1]
            shown = sum(len(server.ask("GET", f"/api/makers/{m['id']}")[1]["photos"]) + len(server.ask("GET", f"/api/makers/{m['id']}/trash")[1]["photos"]) for m in makers)
            need(f"{name}: every photo is there again: {shown} of {len(photos)}", shown == len(photos) == len(files_below(f"{aside}/{name}/photos")))
        said = process.stderr.read()
        need(f"{name}: told: {said}", "Recovered" in said)
    need("the damaged one is kept", any(n.startswith("damaged-") for n in os.listdir(aside + "/torn/aside")))
    with Server(aside + "/torn") as server:
        need("and goes on without --recover", server.ask("GET", "/api/makers")[0] == 200)


def check_flips(aside, data, wanted):
    chance, told, equal, body = random.Random(7), 0, 0, open(data + "/backcloth.sqlite", "rb").read()
    shutil.copytree(data, aside + "/flipped")
    asked = [f"/api/makers"] + [f"/api/makers/{m['id']}{what}" for m in wanted[0] for what in ("", "/plan", "/comments", "/links", "/trash", "/match")]
    with Server(data) as server:
        right = {path: server.ask("GET", path) for path in asked}
    for number in range(FLIPS):
        place_, bit = chance.randrange(len(body)), 1 << chance.randrange(8)
        spoilt = bytearray(body)
        spoilt[place_] ^= bit
        for end in ("-wal", "-shm"):
            if os.path.exists(aside + "/flipped/backcloth.sqlite" + end):
                os.unlink(aside + "/flipped/backcloth.sqlite" + end)
        with open(aside + "/flipped/backcloth.sqlite", "wb") as file:
            file.write(spoilt)
        process, address, code = start(aside + "/flipped")
        if not process:
            need(f"flip {number} at {place_}: {address}", code in (65, 73) and len(address) > 20)
            told += 1
            continue
        with Running(aside + "/flipped", process, address) as server:
            for path in asked:
                status, answer = server.ask("GET", path)
                need(f"flip {number} at {place_}: {path}: {answer}", status != 200 or (status, answer) == right[path])
                told, equal = told + (status != 200), equal + (status == 200)
        need(f"flip {number}: no photo goes", files_below(data + "/photos") <= files_below(aside + "/flipped/photos") | files_below(aside + "/flipped/aside"))
    print(f"{FLIPS} byte flips: {told} told, {equal} answers right, none wrong")


def main():
    with tempfile.TemporaryDirectory() as aside:
        data, maker, wanted = check_export(aside)
        check_recover(aside, data, wanted)
        check_flips(aside, data, wanted)
    print("backup: fine")


if __name__ == "__main__":
    main()
