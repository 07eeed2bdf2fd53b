#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The server as a page meets it: figures equal to the command line's, who may what, two browsers, undo, and
kill -9 at random moments (KILLS=100) after which everything that was said to be saved is there."""
import http.client, json, os, random, signal, subprocess, sys, tempfile, threading, time

PROGRAM, SOURCE = os.environ["BACKCLOTH"], os.environ["SOURCE"]
PHOTO = SOURCE + "/assets/demo/photos/vase.jpg"


class Server:
    def __init__(self, data, *options, **environment):
        self.data, self.options, self.environment = data, options, environment

    def __enter__(self):
        command = [PROGRAM, "serve", "--port", "0", "--data", self.data, *self.options]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, **self.environment})
        self.port = int(self.process.stdout.readline().strip().rsplit(":", 1)[1].strip("/"))
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            assert self.process.wait(30) == 0, "ends with 0"

    def ask(self, method, path, body=None, headers={}, csrf=True, wait=120):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=wait)
        sent = dict(headers)
        if csrf and method != "GET":
            sent["X-Backcloth"] = self.ask("GET", "/api/me", headers=headers)[1]["csrf"]
        raw = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
        connection.request(method, path, raw, sent)
        answer = connection.getresponse()
        data = answer.read()
        connection.close()
        return answer.status, json.loads(data) if "json" in answer.headers.get("Content-Type", "") else data


def need(what, fine):
    if not fine:
        sys.exit("server.py: " + what)


def cli(*arguments):
    """The answer as JSON; 1 says that a plan is not known to hold, which is an answer, too."""
    run = subprocess.run([PROGRAM, *arguments], stdout=subprocess.PIPE)
    need(f"{arguments[0]} ends with {run.returncode}", run.returncode in (0, 1))
    return json.loads(run.stdout)


def set_up(server):
    maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
    status, said = server.ask("POST", f"/api/makers/{maker}/photos", b"", {"X-Name": "vase.jpg"})
    need(f"an empty file is told as that: {status} {said}", status == 422 and "empty" in str(said))
    status, photo = server.ask("POST", f"/api/makers/{maker}/photos", open(PHOTO, "rb").read(), {"X-Name": "vase.jpg"})
    need(f"a photo is taken: {status} {photo}", status == 201)
    return maker, photo


def check_figures(server, maker, photo):
    os.chdir(os.path.dirname(PHOTO))
    need("reading as read --json gives it", photo["reading"] == cli("read", "--json", "vase.jpg"))
    server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#1f2430"})
    server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#efe6d2"})
    wanted = cli("match", "--json", "vase.jpg", "--width", "12", "--cloth", "#1f2430", "--cloth", "#efe6d2")
    need("match as match --json gives it", server.ask("GET", f"/api/makers/{maker}/match")[1] == wanted)
    plan = server.ask("GET", f"/api/makers/{maker}/plan")[1]
    with open(server.data + "/plan.json", "w") as file:
        json.dump(plan["plan"], file)
    need("loads", server.ask("GET", f"/api/makers/{maker}/loads")[1] == cli("loads", "--json", server.data + "/plan.json") == plan["loads"])
    need("packing", server.ask("GET", f"/api/makers/{maker}/packing")[1] == cli("packing", "--json", server.data + "/plan.json"))


def check_open_size(server, maker, photo):
    """A size that nobody told is nowhere guessed: the plan says "?", a place is marked, and what is wrong names the piece."""
    path = f"/api/makers/{maker}/plan"
    now = server.ask("GET", path)[1]
    piece = now["plan"]["pieces"][0]
    need(f"no size is guessed: {piece}", piece["width"] == piece["height"] == "?")
    need("it waits to be measured", any("no size yet" in one["text"] for one in now["findings"]))
    placed = json.loads(json.dumps(now["plan"]))
    placed["pieces"][0]["at"] = [120, 150]
    found = server.ask("POST", path + "/check", {"plan": placed})[1]["findings"]
    need(f"a place without a size is told of: {found}", any(one["serious"] and one["piece"] == piece["id"] and "size is missing" in one["text"] for one in found))
    need("it may be saved", server.ask("PUT", path, {"base": now["revision"], "plan": placed})[0] == 200)
    status, svg = server.ask("GET", f"/api/makers/{maker}/files/wall.svg")
    need("the wall is drawn with its mark", status == 200 and svg.startswith(b"<?xml"))
    need("packing", server.ask("GET", f"/api/makers/{maker}/packing")[1]["unweighed"] == 1)
    wrong = json.loads(json.dumps(placed))
    wrong["pieces"][0]["depth"] = -1
    status, refused = server.ask("POST", path + "/check", {"plan": wrong})
    need(f"no line and no key: {refused}", status == 422 and refused["error"]["what"].startswith(f'"{piece["title"]}": ') and "pieces[" not in refused["error"]["what"])
    for size, told in ({"width_cm": 12}, True), ({"width_cm": None, "height_cm": None}, False), ({"width_cm": 12}, True):
        need("a size", server.ask("PUT", f"/api/photos/{photo['id']}", size)[0] == 200)
        piece = server.ask("GET", path)[1]["plan"]["pieces"][0]
        need(f"the plan follows: {piece}", (piece["width"] == 12 and piece["height"] > 0) if told else piece["width"] == piece["height"] == "?")
    now = server.ask("GET", path)[1]
    del now["plan"]["pieces"][0]["at"]
    need("off the wall again", server.ask("PUT", path, {"base": now["revision"], "plan": now["plan"]})[0] == 200)


def check_two_browsers(server, maker):
    path = f"/api/makers/{maker}/plan"
    base = server.ask("GET", path)[1]
    one, other = json.loads(json.dumps(base["plan"])), json.loads(json.dumps(base["plan"]))
    one["title"] = "Corner stand"
    other["pieces"][0]["at"] = [120, 150]
    server.ask("PUT", path, {"base": base["revision"], "plan": one})
    status, merged = server.ask("PUT", path, {"base": base["revision"], "plan": other})
    need("both keep their work", status == 200 and merged["merged"] and merged["plan"]["title"] == "Corner stand"
         and merged["plan"]["pieces"][0]["at"] == [120, 150] and merged["overruled"] == [])
    back = server.ask("POST", path + "/undo", {"base": merged["revision"]})[1]
    need("undo", "at" not in back["plan"]["pieces"][0] and back["plan"]["title"] == "Corner stand")
    again = server.ask("POST", path + "/redo", {"base": back["revision"]})[1]
    need("redo", again["plan"] == merged["plan"])


def check_undo_after_restart(server, maker):
    """What can be undone is known to the data folder, not to a page or a process."""
    path = f"/api/makers/{maker}/plan"
    now = server.ask("GET", path)[1]
    need("undo is offered after a restart", now["undo"] and now["plan"]["title"] == "Corner stand")
    back = server.ask("POST", path + "/undo", {"base": now["revision"]})[1]
    need("undone after a restart", back["plan"] != now["plan"] and back["redo"])
    status, answer = server.ask("POST", path + "/undo", {"base": now["revision"]})
    need(f"who has not seen the last change does not undo it: {answer}", status == 409 and answer["error"]["what"])
    status, again = server.ask("POST", path + "/redo", {"base": back["revision"]})
    need("done again", status == 200 and again["plan"] == now["plan"])


def check_guards(server, maker):
    need("a foreign Host is refused", server.ask("GET", "/api/me", headers={"Host": "evil.example"})[0] == 421)
    need("no check value", server.ask("POST", "/api/makers", {"name": "x"}, csrf=False)[0] == 403)
    need("a foreign Origin", server.ask("POST", "/api/makers", {"name": "x"}, {"Origin": "http://evil.example"})[0] == 403)
    need("not a photo", server.ask("POST", f"/api/makers/{maker}/photos", b"words", {"X-Name": "a.jpg"})[0] == 422)
    url = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share"})[1]["url"]
    link = {"X-Link": url.rsplit("/", 1)[1]}
    need("a share link reads", server.ask("GET", f"/api/makers/{maker}", headers=link)[0] == 200)
    need("a share link writes nothing", server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "red"}, link)[0] == 403)
    need("a link sees no other maker", server.ask("GET", "/api/makers", headers=link)[0] == 403)
    climbing = server.ask("GET", f"/api/makers/{maker}/plan")[1]["plan"]
    climbing["pieces"][0]["photo"] = "../../etc/passwd"
    need("a path that climbs out", server.ask("POST", f"/api/makers/{maker}/plan/check", {"plan": climbing})[0] == 422)


def check_desk(server, maker):
    """The mentor's desk: rows first, figures after; the archive; remarks with who wrote them, answered, taken away and back."""
    server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#40606f"})
    row = lambda path: next(m for m in server.ask("GET", path)[1] if m["id"] == maker)
    waiting = row("/api/makers?figures=kept")
    need(f"a row that waits: {waiting}", waiting["waiting"] and waiting["weakest"] is None and waiting["need"] is None)
    figures = server.ask("GET", f"/api/makers/{maker}/figures")[1]
    known = row("/api/makers?figures=kept")
    need(f"then its figures: {figures}", known == row("/api/makers") and {k: known[k] for k in figures} == figures and "waiting" not in known)
    plan = server.ask("GET", f"/api/makers/{maker}/plan")[1]
    plan["plan"]["cloth"] = {"colour": "#ffffff", "width": 300, "height": 240}
    server.ask("PUT", f"/api/makers/{maker}/plan", {"base": plan["revision"], "plan": plan["plan"]})
    need("another wall, another need", row("/api/makers?figures=kept")["waiting"] and row("/api/makers")["need"] != known["need"])
    need("to the archive", server.ask("POST", f"/api/makers/{maker}/archive", {})[0] == 200)
    need("off the desk", all(m["id"] != maker for m in server.ask("GET", "/api/makers")[1]) and row("/api/makers?shelf=archive"))
    need("and back", server.ask("POST", f"/api/makers/{maker}/restore", {})[0] == 200 and row("/api/makers"))
    path = f"/api/makers/{maker}/comments"
    url = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "invite"})[1]["url"]
    guest = {"X-Link": url.rsplit("/", 1)[1]}
    remark = server.ask("POST", path, {"text": "Higher, please.", "on": {}})[1][-1]
    need("who wrote it", remark["author"] == "mentor" and remark["answers"] == [])
    answered = server.ask("POST", path, {"text": "Done.", "answers": remark["id"]}, guest)[1][-1]
    need(f"an answer: {answered}", [(a["text"], a["author"]) for a in answered["answers"]] == [("Done.", "maker")])
    need("answers are not answered", server.ask("POST", path, {"text": "x", "answers": answered["answers"][0]["id"]})[0] == 404)
    before = server.ask("GET", path)[1]
    need("away", all(c["id"] != remark["id"] for c in server.ask("DELETE", f"/api/comments/{remark['id']}")[1]))
    need("and back with its answer", server.ask("POST", f"/api/comments/{remark['id']}/restore", {})[1] == before)


def save_until_killed(server, maker, kept, number):
    path, photo = f"/api/makers/{maker}/plan", open(PHOTO, "rb").read()
    try:
        if number % 5 == 0:
            status, saved = server.ask("POST", f"/api/makers/{maker}/photos", photo, {"X-Name": f"{number}.jpg"})
            if status == 201:
                kept["photos"].add(saved["id"])
        now = server.ask("GET", path)[1]
        for i in range(1000):
            now["plan"]["title"] = f"{number}-{i}"
            status, now = server.ask("PUT", path, {"base": now["revision"], "plan": now["plan"]})
            if status == 200:
                kept["title"], kept["revision"] = now["plan"]["title"], now["revision"]
    except (OSError, http.client.HTTPException, ValueError, KeyError):
        pass  # killed meanwhile


def check_kills(data, maker):
    chance, kept = random.Random(4), {"photos": set(), "title": None, "revision": 0}
    for number in range(int(os.environ.get("KILLS", "100"))):
        with Server(data) as server:
            now = server.ask("GET", f"/api/makers/{maker}")[1]
            need(f"photos after kill {number}", kept["photos"] <= {p["id"] for p in now["photos"]})
            need(f"plan after kill {number}", now["revision"] >= kept["revision"] and
                 (now["revision"] > kept["revision"] or kept["title"] in (None, now["plan"]["title"])))
            client = threading.Thread(target=save_until_killed, args=(server, maker, kept, number))
            client.start()
            time.sleep(chance.uniform(0.3, 1.5) if number % 5 == 0 else chance.uniform(0.02, 0.35))
            server.process.kill()
            server.process.wait()
            client.join()
    print("kills survived:", number + 1, "photos", len(kept["photos"]), "revision", kept["revision"])


def main():
    with tempfile.TemporaryDirectory() as data:
        with Server(data) as server:
            maker, photo = set_up(server)
            check_open_size(server, maker, photo)
            check_figures(server, maker, photo)
            check_two_browsers(server, maker)
            check_guards(server, maker)
            check_desk(server, maker)
        with Server(data) as server:
            check_undo_after_restart(server, maker)
        refused = subprocess.run([PROGRAM, "serve", "--bind", "0.0.0.0", "--data", data], stderr=subprocess.PIPE)
        need("no password, no foreign address", refused.returncode == 64)
        check_kills(data, maker)


if __name__ == "__main__":
    main()
