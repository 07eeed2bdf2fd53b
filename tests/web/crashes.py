#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Power cuts: one run of the server is written down operation by operation (tests/support/forgetful_disk.c); for each
of many moments the disk is made as it would be found after a cut, all forgotten that was not synchronised, and the
server is started on it. Whatever it had acknowledged until then is there. LONG=1 for the long run, POINTS=1000 for a longer one.

The model of the disk is POSIX at its strictest: a file's bytes are those of its last fsync, a folder's names those of
its last fsync; nothing else."""
import bisect, hashlib, http.client, json, os, random, shutil, struct, sys, tempfile, threading, time

from keeping import new_maker, photo_bytes
from server import Server, need

POINTS, SHIMS = int(os.environ.get("POINTS", "400" if "LONG" in os.environ else "20")), os.environ["SHIMS"]
HEAD = struct.Struct("8sQQIIII")


# --- the disk ----------------------------------------------------------------------------------------------------

class Disk:
    def __init__(self):
        self.names, self.kept_names = {"": "folder"}, {"": "folder"}  # path -> file number or "folder"
        self.bytes, self.kept, self.number, self.of_inode, self.changed = {}, {}, 0, {}, set()

    def file(self, inode, path):
        if inode not in self.of_inode:
            self.create(inode, path)
        return self.of_inode[inode]

    def create(self, inode, path):
        self.number += 1
        self.of_inode[inode] = self.names[path] = self.number
        self.bytes[self.number], self.kept[self.number] = bytearray(), b""

    def do(self, operation, inode, offset, first, second, data):
        if operation == "C":
            self.create(inode, first)
        elif operation == "W":
            content = self.bytes[self.file(inode, first)]
            if len(content) < offset:
                content.extend(bytes(offset - len(content)))
            content[offset:offset + len(data)] = data
            self.changed.add(self.of_inode[inode])
        elif operation == "T":
            content = self.bytes[self.file(inode, first)]
            del content[offset:]
            content.extend(bytes(offset - len(content)))
            self.changed.add(self.of_inode[inode])
        elif operation == "S":
            number = self.file(inode, first)
            if number in self.changed:
                self.kept[number] = bytes(self.bytes[number])
                self.changed.discard(number)
        elif operation == "D":
            start = first + "/" if first else ""
            beside = lambda names: {n for n in names if n.startswith(start) and n != first and "/" not in n[len(start):]}
            for name in beside(self.kept_names):
                del self.kept_names[name]
            for name in beside(self.names):
                self.kept_names[name] = self.names[name]
        elif operation == "M":
            self.names[first] = "folder"
        elif operation == "R":
            if first in self.names:
                self.names[second] = self.names.pop(first)
        elif operation == "L":
            self.names[second] = self.names[first]
        elif operation == "U":
            self.names.pop(first, None)

    def after_a_cut(self, folder):
        os.mkdir(folder)
        for path in sorted(self.kept_names):  # folders before what is in them
            number, whole = self.kept_names[path], os.path.join(folder, path)
            if not path or path.endswith("-shm") or not os.path.isdir(os.path.dirname(whole)):
                continue
            if number == "folder":
                os.mkdir(whole)
            else:
                with open(whole, "wb") as file:
                    file.write(self.kept[number])


def records(log):
    """(position after it, operation …) one after another."""
    at = 0
    while at + HEAD.size <= len(log):
        operation, inode, offset, first, second, data, _ = HEAD.unpack_from(log, at)
        at += HEAD.size
        names = log[at:at + first + second].decode()
        body = log[at + first + second:at + first + second + data]
        at += first + second + data
        yield at, operation[:1].decode(), inode, offset, names[:first], names[first:], body


# --- the run --------------------------------------------------------------------------------------------------------

class Notes:
    """What was acknowledged, with the length of the log at that moment."""
    def __init__(self, log):
        self.log, self.all, self.lock = log, [], threading.Lock()

    def add(self, what, *facts):
        with self.lock:
            self.all.append((os.path.getsize(self.log), what, *facts))


def save_plans(server, maker, notes, go_on):
    now = server.ask("GET", f"/api/makers/{maker}/plan")[1]
    number = 0
    while go_on.is_set():
        number += 1
        now["plan"]["title"] = f"Stand {number}"
        status, now = server.ask("PUT", f"/api/makers/{maker}/plan", {"base": now["revision"], "plan": now["plan"]})
        need(f"a save: {now}", status == 200)
        notes.add("plan", maker, now["revision"], now["plan"]["title"])


def send_photos(server, maker, notes, go_on):
    number = 0
    while go_on.is_set():
        number += 1
        status, photo = server.ask("POST", f"/api/makers/{maker}/photos", photo_bytes(number), {"X-Name": f"{number}.jpg", "X-Sending": f"key {number}"})
        need(f"a photo: {photo}", status == 201)
        notes.add("photo", maker, photo["id"], number)
        server.ask("POST", f"/api/makers/{maker}/comments", {"text": f"remark {number}", "on": {}})
        notes.add("remark", maker, f"remark {number}")
        server.ask("PUT", f"/api/photos/{photo['id']}", {"title": f"title {number}", "width_cm": number + 0.5})
        notes.add("told", maker, photo["id"], f"title {number}", number + 0.5)
        if number % 3 == 0:
            server.ask("DELETE", f"/api/photos/{photo['id']}")
            notes.add("deleted", maker, photo["id"])
        if number % 6 == 0:
            server.ask("POST", f"/api/photos/{photo['id']}/restore")
            notes.add("restored", maker, photo["id"])
        if number % 9 == 3:
            need("for ever", server.ask("DELETE", f"/api/photos/{photo['id']}?for=ever")[0] == 200)
            notes.add("forgotten", maker, photo["id"], number)


def run(aside, seconds):
    data, log = aside + "/data", aside + "/log"
    os.mkdir(data)
    environment = {"LD_PRELOAD": SHIMS + "/forgetful_disk.so", "DISK_ROOT": data, "DISK_LOG": log}
    go_on = threading.Event()
    go_on.set()
    with Server(data, **environment) as server:
        notes = Notes(log)
        makers = [new_maker(server, name) for name in ("Ilse Quarrow", "Odile Farrant")]
        for maker in makers:
            notes.add("maker", maker)
        workers = [threading.Thread(target=act, args=(server, maker, notes, go_on)) for act, maker in ((save_plans, makers[0]), (send_photos, makers[1]))]
        [w.start() for w in workers]
        time.sleep(seconds)
        go_on.clear()
        [w.join() for w in workers]
        server.process.kill()  # in the end nothing is tidied up either
        server.process.wait()
    with open(log, "rb") as file:
        return file.read(), sorted(notes.all, key=lambda n: n[0])


# --- what is found ----------------------------------------------------------------------------------------------------

def wanted_at(notes, position):
    """What must be there: of each thing the last word."""
    makers, plans, photos, remarks = set(), {}, {}, set()
    for at, what, *facts in notes:
        if at > position:
            break
        if what == "maker":
            makers.add(facts[0])
        elif what == "plan":
            plans[facts[0]] = facts[1:]
        elif what == "remark":
            remarks.add(facts[1])
        elif what == "photo":
            photos[facts[1]] = {"maker": facts[0], "number": facts[2], "state": "there"}
        elif what == "told":
            photos[facts[1]].update(title=facts[2], width=facts[3])
        else:
            photos[facts[1]]["state"] = {"deleted": "trash", "restored": "there", "forgotten": "nowhere"}[what]
    return makers, plans, photos, remarks


def check(folder, notes, position, where):
    makers, plans, photos, remarks = wanted_at(notes, position)
    later = {facts[1] for at, what, *facts in notes if at > position and what in ("deleted", "restored", "forgotten")}
    with Server(folder) as server:
        listed = {m["id"] for m in server.ask("GET", "/api/makers")[1]}
        need(f"{where}: makers", makers <= listed)
        found, trash, said = {}, set(), set()
        for maker in listed:
            status, one = server.ask("GET", f"/api/makers/{maker}")
            need(f"{where}: a maker: {one}", status == 200)
            found.update({p["id"]: p for p in one["photos"]})
            said |= {c["text"] for c in one["comments"]}
            trash |= {p["id"] for p in server.ask("GET", f"/api/makers/{maker}/trash")[1]["photos"]}
            if maker in plans:
                revision, title = plans[maker]
                need(f"{where}: plan {one['revision']} of {revision}", one["revision"] > revision or (one["revision"], one["plan"]["title"]) == (revision, title))
        need(f"{where}: remarks {remarks - said}", remarks <= said)
        for photo, facts in photos.items():
            state = "there" if photo in found else "trash" if photo in trash else "nowhere"
            need(f"{where}: photo {photo} is {state}, not {facts['state']}", state == facts["state"] or photo in later)
            if state == "there" and "title" in facts:
                need(f"{where}: what was told", (found[photo]["title"], found[photo]["width_cm"]) == (facts["title"], facts["width"]))
        for photo in found.keys() | trash:
            number = int(next(p for p in [found.get(photo)] if p)["name"].split(".")[0]) if photo in found else None
            if number:
                digest = hashlib.blake2b(photo_bytes(number), digest_size=32).hexdigest()
                with open(f"{folder}/photos/{digest[:2]}/{digest}", "rb") as file:
                    need(f"{where}: its file is whole", hashlib.blake2b(file.read(), digest_size=32).hexdigest() == digest)
        if found:
            first = sorted(found)[0]
            need(f"{where}: a picture", server.ask("GET", found[first]["urls"]["preview"])[0] == 200)


def main():
    chance = random.Random(int(os.environ.get("SEED", "3")))
    with tempfile.TemporaryDirectory() as aside:
        log, notes = run(aside, 4 if POINTS < 200 else 20)
        ends = [r[0] for r in records(log)]
        first = bisect.bisect_left(ends, notes[0][0])
        cuts = sorted(chance.sample(range(0, len(ends)), min(POINTS, len(ends))))
        disk, done, kinds = Disk(), 0, {}
        for number, (end, *operation) in enumerate(records(log)):
            if cuts and cuts[0] == number:  # before this operation
                cuts.pop(0)
                folder = f"{aside}/cut"
                disk.after_a_cut(folder)
                check(folder, notes, ends[number - 1] if number else 0, f"cut before operation {number} of {len(ends)} ({operation[0]} {operation[3]})")
                shutil.rmtree(folder)
                done += 1
            disk.do(*operation)
            kinds[operation[0]] = kinds.get(operation[0], 0) + 1
        print(f"{done} power cuts in {len(ends)} operations ({', '.join(f'{k} {v}' for k, v in sorted(kinds.items()))}), "
              f"{len(notes)} things acknowledged: nothing lost")


if __name__ == "__main__":
    main()
