#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What is kept, and what goes: whose folder is taken, photos that a database does not know, the trash and its end,
what comes back. The calendar is moved from outside (tests/support/moved_clock.c)."""
import hashlib, http.client, json, mmap, os, shutil, struct, subprocess, sys, tempfile, time

from server import PHOTO, PROGRAM, SOURCE, Server, cli, need

DAY, SHIMS = 24 * 3600, os.environ["SHIMS"]


def files_below(folder):
    return {name for _, _, names in os.walk(folder) for name in names}


def tree(folder):
    return {os.path.relpath(os.path.join(path, name), folder): open(os.path.join(path, name), "rb").read()
            for path, _, names in os.walk(folder) for name in names}


def refusal(data, *options):
    done = subprocess.run([PROGRAM, "serve", "--port", "0", "--data", data, *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, timeout=60)
    return done.returncode, done.stderr


class Clock:
    """Seconds by which the program's calendar runs ahead; and by which time has passed."""
    def __init__(self, folder):
        self.path = folder + "/clock"
        with open(self.path, "wb") as file:
            file.write(bytes(16))
        self.environment = {"LD_PRELOAD": SHIMS + "/moved_clock.so", "MOVED_CLOCK": self.path}

    def move(self, seconds, passed=0):
        """Somebody sets the calendar."""
        with open(self.path, "r+b") as file:
            file.write(struct.pack("qq", int(seconds), int(passed)))

    def wait(self, seconds):
        self.move(seconds, seconds)


def photo_bytes(number):
    return open(PHOTO, "rb").read() + b"%d" % number


def send(server, maker, number=0, name="vase.jpg", kind="piece"):
    status, photo = server.ask("POST", f"/api/makers/{maker}/photos?kind={kind}", photo_bytes(number), {"X-Name": name})
    need(f"{name} is taken: {photo}", status == 201)
    return photo


def new_maker(server, name="Ilse Quarrow"):
    return server.ask("POST", "/api/makers", {"name": name})[1]["id"]


def place(server, maker, photo, at):
    now = server.ask("GET", f"/api/makers/{maker}/plan")[1]
    next(p for p in now["plan"]["pieces"] if p["id"] == photo).update(at)
    status, saved = server.ask("PUT", f"/api/makers/{maker}/plan", {"base": now["revision"], "plan": now["plan"]})
    need(f"placed: {saved}", status == 200)
    return saved


# --- whose folder ---------------------------------------------------------------------------------------------

def check_folders(aside):
    strange = aside + "/mine"
    for name in ("incoming", "scratch", "made", "photos/ab"):
        os.makedirs(f"{strange}/{name}")
        for own in ("letter.txt", "sent-abcdef", "ab" * 32, "a" * 16 + "-1-mask"):
            with open(f"{strange}/{name}/{own}", "w") as file:
                file.write("mine")
    before = tree(strange)
    code, said = refusal(strange)
    need(f"a folder with other files is refused: {code} {said}", code != 0 and "holds other files" in said)
    need("and nothing in it is touched", tree(strange) == before)
    for number, (name, body) in enumerate({"backcloth.sqlite": b"not a database", "notes.txt": b"", "backcloth-data.txt/x": b""}.items()):
        other = f"{aside}/other{number}"
        os.makedirs(os.path.dirname(f"{other}/{name}"))
        with open(f"{other}/{name}", "wb") as file:
            file.write(body)
        before = tree(other)
        need(f"{name} alone makes no data folder", refusal(other)[0] != 0 and tree(other) == before)
    newer = aside + "/newer"
    os.mkdir(newer)
    with open(newer + "/backcloth-data.txt", "w") as file:
        file.write("backcloth data folder, format 99\n")
    code, said = refusal(newer)
    need(f"a newer one is refused: {said}", code != 0 and "newer version" in said and len(tree(newer)) == 1)
    empty = aside + "/empty"
    os.makedirs(empty + "/lost+found")
    with Server(empty) as server:
        need("an empty one is taken", server.ask("GET", "/api/makers")[0] == 200)
        for name in ("incoming", "scratch", "made", "photos"):
            with open(f"{empty}/{name}/letter.txt", "w") as file:
                file.write("mine")
    with Server(empty):
        need("strange files stay in our own folder, too", all(os.path.exists(f"{empty}/{name}/letter.txt") for name in ("incoming", "scratch", "made", "photos")))


# --- photos that the database does not know ------------------------------------------------------------------

def spoil(data, how):
    for name in os.listdir(data):
        if name.startswith("backcloth.sqlite-"):
            os.unlink(f"{data}/{name}")
    path = data + "/backcloth.sqlite"
    if how == "missing":
        os.unlink(path)
    elif how == "empty":
        open(path, "w").close()
    elif how == "older":
        shutil.copy(data + "/../older.sqlite", path)


def check_lost_database(aside):
    whole = aside + "/whole"
    with Server(whole) as server:
        maker = new_maker(server)
        send(server, maker, 1)
    shutil.copy(whole + "/backcloth.sqlite", aside + "/older.sqlite")
    with Server(whole) as server:
        for number in (2, 3):
            send(server, maker, number)
        wanted = server.ask("GET", f"/api/makers/{maker}")[1]
    photos = {hashlib.blake2b(photo_bytes(i), digest_size=32).hexdigest() for i in (1, 2, 3)}
    need("photos lie by their hash", photos <= files_below(whole + "/photos"))
    for how, known in (("missing", 0), ("empty", 0), ("older", 1)):
        data = f"{aside}/lost-{how}"
        shutil.copytree(whole, data)
        spoil(data, how)
        process = subprocess.Popen([PROGRAM, "serve", "--port", "0", "--data", data], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        process.stdout.readline()
        process.terminate()
        said = process.communicate(timeout=30)[1]
        need(f"{how}: counted and told: {said}", f"{3 - known} photos that the database does not know" in said)
        need(f"{how}: not one erased", photos == files_below(data + "/photos") | files_below(data + "/aside") and len(files_below(data + "/photos")) == known)
        shutil.copy(whole + "/backcloth.sqlite", data + "/backcloth.sqlite")
        with Server(data) as server:
            need(f"{how}: with the database of before all is as it was", server.ask("GET", f"/api/makers/{maker}")[1] == wanted and photos == files_below(data + "/photos"))


# --- the trash --------------------------------------------------------------------------------------------------

def check_back(server):
    """Taken away and brought back, everything is as it was; what was done meanwhile stays."""
    maker = new_maker(server)
    first, second, third = (send(server, maker, n, name) for n, name in ((10, "vase.jpg"), (11, "bowl.jpg"), (12, "cup.jpg")))
    path = f"/api/makers/{maker}"
    server.ask("PUT", f"/api/photos/{second['id']}", {"width_cm": 12, "weight_g": 300})
    place(server, maker, second["id"], {"at": [120, 150], "mount": {"kind": "hook", "points": 2}, "role": "statement"})
    before = server.ask("GET", path)[1]
    need("gone from the plan", server.ask("DELETE", f"/api/photos/{second['id']}")[0] == 200)
    need("a photo in the trash is listed", [p["id"] for p in server.ask("GET", path + "/trash")[1]["photos"]] == [second["id"]])
    need("one piece less", len(server.ask("GET", path)[1]["plan"]["pieces"]) == 2)
    need("back", server.ask("POST", f"/api/photos/{second['id']}/restore")[0] == 200)
    after = server.ask("GET", path)[1]
    need("all as it was, its place included", {**after, "revision": 0} == {**before, "revision": 0})
    server.ask("DELETE", f"/api/photos/{second['id']}")
    place(server, maker, first["id"], {"at": [40, 150]})
    server.ask("POST", f"/api/photos/{second['id']}/restore")
    pieces = {p["id"]: p for p in server.ask("GET", path)[1]["plan"]["pieces"]}
    need("what was done meanwhile stays", pieces[first["id"]]["at"] == [40, 150] and pieces[second["id"]]["at"] == [120, 150])
    now = server.ask("GET", path + "/plan")[1]
    server.ask("DELETE", f"/api/photos/{second['id']}")
    for _ in range(4):
        now = server.ask("POST", path + "/plan/undo", {})[1]
        need("undo hangs no photo of the trash", all(p["id"] != second["id"] for p in now["plan"]["pieces"]))
    stale = server.ask("GET", path + "/plan")[1]
    stale["plan"]["pieces"].append({"id": second["id"], "title": "bowl", "photo": "photos/" + second["id"], "width": 12, "height": 12, "at": [90, 150]})
    status, saved = server.ask("PUT", path + "/plan", {"base": stale["revision"], "plan": stale["plan"]})
    need("nor does a save", status == 200 and all(p["id"] != second["id"] for p in saved["plan"]["pieces"]))
    stale["plan"]["pieces"].append({"id": "x", "photo": "photos/" + "q" * 16, "width": 12, "height": 12})
    status, told = server.ask("PUT", path + "/plan", {"base": saved["revision"], "plan": stale["plan"]})
    need(f"a photo that is nobody's: {told}", status == 404 and "backup" in told["error"]["what"])
    return maker, second


def check_links(server, maker, photo):
    url = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share"})[1]["url"]
    link = {"X-Link": url.rsplit("/", 1)[1]}
    for what in photo["urls"].values():
        need("a photo in the trash is not there for links", server.ask("GET", what, headers=link)[0] == 404)
        need("the owner still sees it", server.ask("GET", what)[0] == 200)


def check_for_ever(server, maker, photo):
    other = send(server, maker, 13)
    need("only out of the trash", server.ask("DELETE", f"/api/photos/{other['id']}?for=ever")[0] == 409)
    need("for ever", server.ask("DELETE", f"/api/photos/{photo['id']}?for=ever")[0] == 200)
    need("is gone", server.ask("POST", f"/api/photos/{photo['id']}/restore")[0] == 404 and server.ask("GET", photo["urls"]["preview"])[0] == 404)
    need("its file as well", hashlib.blake2b(photo_bytes(11), digest_size=32).hexdigest() not in files_below(server.data))
    need("undo goes on", server.ask("POST", f"/api/makers/{maker}/plan/undo", {})[0] in (200, 409))
    gone = new_maker(server, "Bram Osei-Lund")
    need("a maker only out of the trash", server.ask("DELETE", f"/api/makers/{gone}?for=ever")[0] == 409)
    server.ask("DELETE", f"/api/makers/{gone}")
    need("in the trash", [m["id"] for m in server.ask("GET", "/api/trash")[1]["makers"]] == [gone])
    need("for ever", server.ask("DELETE", f"/api/makers/{gone}?for=ever")[0] == 200 and server.ask("GET", f"/api/makers/{gone}")[0] == 404)


SECRETS = [b"Zebrawood-Lantern", b"Pelican-Inkwell", b"Quagga-Remark"]


def holds_any(data, words):
    return [(name, word) for name, body in tree(data).items() for word in words if word in body]


def wait_until(what, fine, seconds=40):
    end = time.monotonic() + seconds
    while not fine():
        need(what, time.monotonic() < end)
        time.sleep(0.5)


def enter(server):
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
    connection.request("POST", "/api/enter", json.dumps({"password": "quince and copper"}), {"X-Backcloth": server.ask("GET", "/api/me")[1]["csrf"]})
    answer = connection.getresponse()
    need(f"the password lets in: {answer.status}", answer.status == 200)
    return {"Cookie": answer.headers["Set-Cookie"].split(";")[0]}


def check_in_time(data, clock):
    """After 30 days and one no file and no byte is left, while the server runs; a clock that jumps costs nothing."""
    with Server(data, **clock.environment) as server:
        stays = new_maker(server, "Odile Farrant")
        kept = send(server, stays, 20)
        goes = send(server, stays, 21, "Zebrawood-Lantern.jpg")
        server.ask("PUT", f"/api/photos/{goes['id']}", {"width_cm": 12})
        place(server, stays, goes["id"], {"at": [120, 150]})
        server.ask("POST", f"/api/makers/{stays}/comments", {"text": "Quagga-Remark", "on": {"photo": goes["id"], "at": [1, 2]}})
        leaves = new_maker(server, "Pelican-Inkwell")
        send(server, leaves, 22)
        hashes = [hashlib.blake2b(photo_bytes(n), digest_size=32).hexdigest() for n in (21, 22)]
        server.ask("DELETE", f"/api/photos/{goes['id']}")
        server.ask("DELETE", f"/api/makers/{leaves}")
        before = files_below(data)
        need("in the trash all is there", set(hashes) <= before and len(holds_any(data, SECRETS)) >= 3)
        clock.move(400 * DAY)
        time.sleep(4)
        need("a calendar that jumps ahead for an hour costs nothing", set(hashes) <= files_below(data))
        clock.move(-400 * DAY)
        need("nor one that is set back", server.ask("GET", f"/api/makers/{stays}")[0] == 200)
        time.sleep(4)
        need("set back", set(hashes) <= files_below(data))
        clock.move(0)
        time.sleep(4)
    for day in (1, 29):
        clock.wait(day * DAY)
        with Server(data, **clock.environment) as server:
            need(f"day {day}: still in the trash", set(hashes) <= files_below(data))
    with Server(data, **clock.environment) as server:
        clock.wait(31 * DAY)
        wait_until("after 30 days and one the files go, while the server runs", lambda: not set(hashes) & files_below(data))
        wait_until("its pictures as well", lambda: not [n for n in os.listdir(data + "/made") if n.startswith(goes["id"])])
        wait_until("and what the log holds of it", lambda: not holds_any(data, SECRETS))
        need("who stays, stays", server.ask("GET", kept["urls"]["preview"])[0] == 200)
        need(f"not a byte is left: {holds_any(data, SECRETS)}", not holds_any(data, SECRETS + [goes["id"].encode(), leaves.encode()]))
    need("nor after the end", not holds_any(data, SECRETS))
    clock.move(0)


def check_jumps(data, clock):
    """The calendar is set forwards and back while the server runs, further than a sweep's own caution reaches: nothing goes
    early, sessions and links are refused at most while it is wrong, and after 30 days of real time the trash goes."""
    password = data + ".password"
    with open(password, "w") as file:
        file.write("quince and copper\n")
    clock.move(-9000 * DAY)  # a machine without a clock of its own, before the network told it the time
    with Server(data, "--password-file", password, **clock.environment) as server:
        session = enter(server)
        maker = server.ask("POST", "/api/makers", {"name": "Amaru Lindqvist"}, session)[1]["id"]
        photos = [server.ask("POST", f"/api/makers/{maker}/photos", photo_bytes(n), {**session, "X-Name": "scarf.jpg"})[1] for n in (31, 32)]
        gone = server.ask("POST", "/api/makers", {"name": "Bram Osei-Lund"}, session)[1]["id"]
        link = {"X-Link": server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share", "days": 300}, session)[1]["url"].rsplit("/", 1)[1]}
        server.ask("DELETE", f"/api/photos/{photos[0]['id']}", headers=session)
        server.ask("DELETE", f"/api/makers/{gone}", headers=session)
        hashes = {hashlib.blake2b(photo_bytes(n), digest_size=32).hexdigest() for n in (31, 32)}
        for days in (0, 1, 400, 800, 2, -9000, 20000, -20000, 0):
            clock.move(days * DAY)
            time.sleep(3.5)  # a sweep is asked for every three seconds
            for path, who in (("/api/makers", session), (f"/api/makers/{maker}", link), ("/api/me", {}), (f"/api/makers/{maker}/plan", session)):
                status = server.ask("GET", path, headers=who)[0]
                need(f"calendar at {days} days: {path}: {status}", status in (200, 401, 403))
            need(f"calendar at {days} days: nothing goes early", hashes <= files_below(data))
        session = enter(server)
        need("back in the right time a link counts again, or is over", server.ask("GET", f"/api/makers/{maker}", headers=link)[0] in (200, 403))
        trash = server.ask("GET", f"/api/makers/{maker}/trash", headers=session)[1]["photos"]
        need(f"the photo is in the trash: {trash}", [p["id"] for p in trash] == [photos[0]["id"]])
        need("so is the maker", [m["id"] for m in server.ask("GET", "/api/trash", headers=session)[1]["makers"]] == [gone])
        clock.wait(2 * DAY)
        time.sleep(3.5)
        need("two days later, too", hashes <= files_below(data))
        need("and comes back", server.ask("POST", f"/api/photos/{photos[0]['id']}/restore", headers=enter(server))[0] == 200)
        session = enter(server)
        server.ask("DELETE", f"/api/photos/{photos[0]['id']}", headers=session)
        for day in (15, 32, 34):
            clock.wait(day * DAY)
            time.sleep(3.5)
        wait_until("30 days and one of real time later it goes", lambda: len(hashes & files_below(data)) == 1)
    clock.move(0)


def main():
    with tempfile.TemporaryDirectory() as aside:
        clock = Clock(aside)
        check_folders(aside)
        check_lost_database(aside)
        with Server(aside + "/trash") as server:
            maker, photo = check_back(server)
            check_links(server, maker, photo)
            check_for_ever(server, maker, photo)
        check_in_time(aside + "/time", clock)
        check_jumps(aside + "/jumps", clock)
    print("keeping: fine")


if __name__ == "__main__":
    main()
