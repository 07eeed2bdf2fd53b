#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Who may call what: every call, by strangers, by whoever may only look, by an invited maker, by another maker's
invitation and by links that are over, however the link is shown (header, address, cookie). What is refused changes
nothing. The list below is written by hand: a new call has to be put on it."""
import http.client, json, os, re, subprocess, tempfile, time

from server import SOURCE, Server, need

ANYONE, LOOKS, MAKES, OWNS = range(4)
MAY = {  # docs/web.md
    ANYONE: ["GET /api/health", "GET /api/me", "POST /api/enter", "POST /api/leave", "GET /api/words"],
    LOOKS: ["GET /api/makers/*", "GET /api/makers/*/glance", "GET /api/makers/*/match", "GET /api/makers/*/suggest", "GET /api/makers/*/plan",
            "POST /api/makers/*/plan/check", "GET /api/makers/*/packing", "GET /api/makers/*/loads", "GET /api/makers/*/files/*",
            "GET /api/makers/*/comments", "GET /api/photos/*/preview", "GET /api/photos/*/cutout", "GET /api/photos/*/mask"],
    MAKES: ["GET /api/makers/*/trash", "POST /api/makers/*/photos", "POST /api/makers/*/cloths", "DELETE /api/makers/*/cloths/*",
            "PUT /api/makers/*/plan", "POST /api/makers/*/plan/undo", "POST /api/makers/*/plan/redo", "POST /api/makers/*/plan/arrange",
            "POST /api/makers/*/comments", "PUT /api/comments/*", "POST /api/photos/*/ready", "PUT /api/photos/*/help", "PUT /api/photos/*",
            "DELETE /api/photos/*", "POST /api/photos/*/restore"],
    OWNS: ["GET /api/makers", "POST /api/makers", "PUT /api/makers/*", "DELETE /api/makers/*", "POST /api/makers/*/restore",
           "POST /api/makers/*/archive", "GET /api/makers/*/figures", "GET /api/trash", "DELETE /api/comments/*", "POST /api/comments/*/restore",
           "GET /api/makers/*/links", "POST /api/makers/*/links", "DELETE /api/links/*"],
}
NEEDS = {call: role for role, calls in MAY.items() for call in calls}
HERE = "vase.jpg"
PASSWORD = "quince and copper"


def all_calls():
    return [f"{method} {path}" for method, path in re.findall(r'\{"(GET|POST|PUT|DELETE)", "(/api/[^"]*)"', open(SOURCE + "/src/web/calls/routes.c").read())]


def in_order(call):
    """What is read first, what is deleted last and then brought back."""
    method, path = call.split()
    return (path.endswith("/restore"), ["GET", "PUT", "POST", "DELETE"].index(method), path)


class Things:
    """A maker with one of everything that a call can be about."""

    def __init__(self, server, name, photo, owner):
        self.server, self.owner = server, owner
        self.maker = self.made("POST", "/api/makers", {"name": name})["id"]
        here = f"/api/makers/{self.maker}"
        self.photo = self.made("POST", here + "/photos", photo, {"X-Name": HERE})["id"]
        self.cloth = self.made("POST", here + "/cloths", {"css": "#1f2430"})["id"]
        self.comment = self.made("POST", here + "/comments", {"text": "Why so low?", "on": {}})[-1]["id"]
        self.link = self.made("POST", here + "/links", {"kind": "share"})["id"]

    def made(self, method, path, body, headers={}):
        status, answer = self.server.ask(method, path, body, {**self.owner, **headers})
        need(f"{path}: {status} {answer}", status in (200, 201))
        return answer

    def path(self, call):
        path = call.split()[1]
        kinds = {"makers": self.maker, "photos": self.photo, "comments": self.comment, "links": self.link, "cloths": self.cloth, "files": "plan.json"}
        return re.sub(r"(\w+)/\*", lambda found: f"{found[1]}/{kinds[found[1]]}", path)

    def token(self, **wishes):
        made = self.made("POST", f"/api/makers/{self.maker}/links", wishes)
        return made["id"], made["url"].rsplit("/", 1)[1]

    def whole(self):
        """All that is known of it, but for the list of links, which the test itself makes longer."""
        known = [self.server.ask("GET", f"/api/makers/{self.maker}{end}", headers=self.owner)[1] for end in ("", "/plan", "/trash", "/comments")]
        known[0].pop("links")
        return known


def ways(token):
    """How a link is shown to the server: what is added to the address, and the headers."""
    return {"header": ("", {"X-Link": token}), "address": (f"?link={token}", {}),
            "cookie": (f"?with={token[:8]}", {"Cookie": f"with-{token[:8]}={token}"})}


def ask(server, call, path, extra, headers):
    method = call.split()[0]
    me = server.ask("GET", "/api/me" + extra, headers=headers)[1]
    check = {"X-Backcloth": me["csrf"]} if "csrf" in me else {"X-Backcloth": "0" * 64}
    return server.ask(method, path + extra, {} if method != "GET" else None, {**headers, **check}, csrf=False)[0]


def check_refused(server, who, calls, things, extra, headers, statuses):
    before = things.whole()
    for call in calls:
        status = ask(server, call, things.path(call), extra, headers)
        need(f"{who} and {call}: {status}, wanted {statuses}", status in statuses)
    need(f"{who}: nothing has changed", things.whole() == before)
    return len(calls)


def check_allowed(server, who, calls, things, extra, headers):
    for call in sorted(calls, key=in_order):
        status = ask(server, call, things.path(call), extra, headers)
        need(f"{who} may call {call}: {status}", status not in (401, 403, 404, 405, 500) or (status == 403 and call == "POST /api/enter"))
    return len(calls)


def check_links(server, owner, photo):
    mine, other = (Things(server, name, photo, owner) for name in ("Ilse Quarrow", "Teodor Vey"))
    tries = 0
    for kind, role in (("share", LOOKS), ("invite", MAKES)):
        _, token = mine.token(kind=kind)
        of_makers = [call for call in NEEDS if NEEDS[call] != ANYONE]
        about = [call for call in of_makers if "*" in call]
        for way, (extra, headers) in ways(token).items():
            who = f"{kind} by {way}"
            tries += check_refused(server, who, [c for c in of_makers if NEEDS[c] > role], mine, extra, headers, (403,))
            tries += check_refused(server, who + ", another maker", about, other, extra, headers, (403, 404))
            seen = check_refused(server, who + ", nobody's", [c for c in about if NEEDS[c] <= role], Nowhere(other), extra, headers, (404,))
            tries += seen
            tries += check_allowed(server, who, [c for c in of_makers if NEEDS[c] == LOOKS], mine, extra, headers)
        tries += check_allowed(server, kind, [c for c in of_makers if LOOKS < NEEDS[c] <= role], mine, *ways(token)["header"])
    for how in ("expired", "revoked", "of a deleted maker", "made up"):
        tries += check_over(server, how, mine if how != "of a deleted maker" else Things(server, "Odile Farrant", photo, owner))
    return tries


class Nowhere:
    """The same addresses with ids that nobody has."""

    def __init__(self, other):
        self.whole = other.whole

    def path(self, call):
        return call.split()[1].replace("*", "abcdefghijklmnop")


def check_over(server, how, things):
    identity, token = things.token(kind="invite", days=1)
    if how == "revoked":
        things.made("DELETE", f"/api/links/{identity}", None)
    elif how == "expired":
        import sqlite3
        with sqlite3.connect(server.data + "/backcloth.sqlite", timeout=20) as handle:
            handle.execute("PRAGMA wal_autocheckpoint=0")  # the pages' checksums are the server's to write
            handle.execute("UPDATE links SET expires=? WHERE id=?", (int(time.time() * 1000) - 1, identity))
    elif how == "of a deleted maker":
        things.made("DELETE", f"/api/makers/{things.maker}", None)
    else:
        token = token[:-1] + ("A" if token[-1] != "A" else "B")
    calls = [c for c in NEEDS if NEEDS[c] != ANYONE]
    # What lies in the trash is not there for links; whatever they send, nothing of it changes.
    return sum(check_refused(server, f"a link {how} by {way}", calls, things, extra, headers, (403, 404)) for way, (extra, headers) in ways(token).items())


def check_strangers(data, password_file, photo):
    """With a password: whoever has not entered, or brings a session that is none."""
    with Server(data, "--password-file", password_file) as server:
        csrf = server.ask("GET", "/api/me")[1]["csrf"]
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
        connection.request("POST", "/api/enter", json.dumps({"password": PASSWORD}), {"X-Backcloth": csrf})
        entered = connection.getresponse()
        cookie = entered.headers["Set-Cookie"].split(";")[0]
        connection.close()
        things = Things(server, "Nadi Oyelar-Finch", photo, {"Cookie": cookie})
        calls = [c for c in NEEDS if NEEDS[c] != ANYONE]
        tries = 0
        forged = cookie[:-1] + ("0" if cookie[-1] != "0" else "1")
        for who, headers in {"a stranger": {}, "a forged session": {"Cookie": forged}, "an empty one": {"Cookie": "backcloth="},
                             "an empty link": {"X-Link": ""}, "a link's cookie without its name": {"Cookie": "with-abcdefgh=x"}}.items():
            tries += check_refused(server, who, calls, things, "", headers, (401,))
        _, token = things.token(kind="share")
        # Whoever looks by a link does so as the link allows, also when entered as the owner in the same browser.
        tries += check_refused(server, "a link beside a session", [c for c in calls if NEEDS[c] > LOOKS], things, f"?with={token[:8]}",
                               {"Cookie": f"{cookie}; with-{token[:8]}={token}"}, (403,))
        return tries + check_refused(server, "a session and a wrong link", calls, things, "?with=abcdefgh", {"Cookie": cookie}, (403,))


def main():
    need(f"each call is on the list: {set(all_calls()) ^ set(NEEDS)}", sorted(all_calls()) == sorted(NEEDS))
    with tempfile.TemporaryDirectory() as aside:
        small = aside + "/" + HERE
        subprocess.run(["convert", f"{SOURCE}/assets/demo/photos/{HERE}", "-resize", "200x200", small], check=True)
        with open(small, "rb") as file:
            photo = file.read()
        with open(aside + "/password", "w") as file:
            file.write(PASSWORD + "\n")
        with Server(aside + "/open") as server:
            tries = check_links(server, {}, photo)
        tries += check_strangers(aside + "/shut", aside + "/password", photo)
    print(f"roles: {tries} tries of {len(NEEDS)} calls, fine")


if __name__ == "__main__":
    main()
