#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What the server says is what the command line says: the match on colours and on photographed cloths, figure by
figure, in daylight and under another light; and the feedback sheet, word by word."""
import json, os, shutil, subprocess, sys, tempfile

from server import PROGRAM, SOURCE, Server, cli, need

PIECES = {"vase.jpg": 18, "ring.jpg": 2.5, "cuff.jpg": 6.5}
COLOURS, TEXTILES = ["#1f2430", "#efe6d2"], ["block.jpg", "twill.jpg"]
EXACT = 1e-12


def differ(one, other, place=""):
    """The first place where two answers are not the same, or None."""
    if isinstance(one, dict) and isinstance(other, dict):
        if one.keys() != other.keys():
            return f"{place}: keys {sorted(one.keys() ^ other.keys())}"
        return next((d for key in one if (d := differ(one[key], other[key], f"{place}/{key}"))), None)
    if isinstance(one, list) and isinstance(other, list):
        if len(one) != len(other):
            return f"{place}: {len(one)} and {len(other)}"
        return next((d for i in range(len(one)) if (d := differ(one[i], other[i], f"{place}/{i}"))), None)
    numbers = [isinstance(v, (int, float)) and not isinstance(v, bool) for v in (one, other)]
    same = abs(one - other) <= EXACT * max(1, abs(one)) if all(numbers) else one == other
    return None if same else f"{place}: {one} and {other}"


def by_name(match, names):
    """The server calls a photographed cloth by its photo's id."""
    for cloth in match["cloths"]:
        cloth["cloth"] = names.get(cloth["cloth"], cloth["cloth"])
    return match


def fill_folder(folder):
    for name in PIECES:
        shutil.copy(f"{SOURCE}/assets/demo/photos/{name}", folder)
    for name in TEXTILES:
        shutil.copy(f"{SOURCE}/assets/demo/cloths/{name}", folder)


def send(server, maker, folder):
    path, names, cloths = f"/api/makers/{maker}", {}, []
    for name, width in PIECES.items():
        status, photo = server.ask("POST", path + "/photos", open(f"{folder}/{name}", "rb").read(), {"X-Name": name})
        need(f"{name} is taken: {photo}", status == 201)
        names[name] = photo["id"]
        need("a size", server.ask("PUT", f"/api/photos/{photo['id']}", {"width_cm": width})[0] == 200)
    for css in COLOURS:
        cloths.append(server.ask("POST", path + "/cloths", {"css": css})[1])
    for name in TEXTILES:
        photo = server.ask("POST", path + "/photos?kind=cloth", open(f"{folder}/{name}", "rb").read(), {"X-Name": name})[1]
        names[name] = photo["id"]
        cloths.append(server.ask("POST", path + "/cloths", {"photo": photo["id"]})[1])
    return names, cloths


def check_match(server, maker, names):
    given = [x for css in COLOURS for x in ("--cloth", css)] + [x for name in TEXTILES for x in ("--cloth", "photo:" + name)]
    given += [x for width in PIECES.values() for x in ("--width", str(width))]
    specs = {"photo:" + names[name]: "photo:" + name for name in TEXTILES}
    for asked, options in ("", []), ("?light=A&distance=6", ["--light", "A", "--distance", "6"]), ("?suggest=3", ["--suggest", "3"]):
        wanted = cli("match", "--json", *PIECES, *given, *options)
        status, got = server.ask("GET", f"/api/makers/{maker}/match{asked}")
        need(f"a match: {got}", status == 200)
        need(f"four cloths, two of them with a textile {asked}", sum(1 for c in wanted["cloths"] if c["textile"]) == 2)
        found = differ(by_name(got, specs), wanted)
        need(f"match{asked} as match --json gives it: {found}", not found)


def check_strokes(server, maker, folder):
    """A further stroke starts from the image that the one before left; it gives what a photo opened anew gives, and
    its pictures are there. A white marked meanwhile has the photo opened again."""
    path, photo = f"/api/makers/{maker}/photos", open(folder + "/cuff.jpg", "rb").read()
    first, second = (server.ask("POST", path, photo, {"X-Name": "cuff.jpg"})[1] for _ in range(2))
    width, height = first["pixels"]
    help_one = {"keep": [[width // 2, height // 2]], "drop": [[5, 5]]}
    help_two = {"box": [width // 10, height // 10, width * 8 // 10, height * 8 // 10], "keep": [[width // 2, height // 2]], "drop": [[9, 5], [9, 20]]}
    for photo_id, helps in (first["id"], [help_one, help_two]), (second["id"], [help_two]):
        for one in helps:
            status, answer = server.ask("PUT", f"/api/photos/{photo_id}/help", one)
            need(f"a stroke: {answer}", status == 200)
        for what in "preview", "cutout", "mask":
            need(f"{what} of a corrected photo", server.ask("GET", answer["urls"][what])[0] == 200)
        first, second = second, answer
    for key in "reading", "face", "cutout_box", "pixels":
        need(f"{key} after a further stroke, exactly", first[key] == second[key])
    pictures = [server.ask("GET", one["urls"][what])[1] for what in ("preview", "cutout", "mask") for one in (first, second)]
    need("pictures after a further stroke, byte for byte", pictures[::2] == pictures[1::2])
    need("the help counts", server.ask("PUT", f"/api/photos/{second['id']}/help", help_one)[1]["face"] != second["face"])
    for one in first, second:
        need("gone", server.ask("DELETE", f"/api/photos/{one['id']}")[0] == 200)


def local_plan(plan, names):
    files = {f"photos/{photo}": name for name, photo in names.items()}
    for piece in plan["pieces"]:
        piece["photo"] = files[piece["photo"]]
    plan["cloth"]["photo"] = files[plan["cloth"]["photo"]]
    return plan


def words(pdf):
    return subprocess.run(["pdftotext", "-layout", pdf, "-"], stdout=subprocess.PIPE, check=True).stdout.decode()


def check_feedback(server, maker, names, cloths, folder, out):
    path = f"/api/makers/{maker}"
    now = server.ask("GET", path + "/plan")[1]
    now["plan"]["cloth"] = {"photo": "photos/" + names["block.jpg"], "width": 300, "height": 240}
    now["plan"]["pieces"][0].update({"at": [150, 150], "mount": {"kind": "hook", "points": 1}, "weight_g": 900})
    status, saved = server.ask("PUT", path + "/plan", {"base": now["revision"], "plan": now["plan"]})
    need(f"a plan with a photographed cloth: {saved}", status == 200)
    server.ask("POST", path + "/comments", {"text": "The vase deserves the middle.", "on": {}})
    with open(folder + "/plan.json", "w") as file:
        json.dump(local_plan(saved["plan"], names), file)
    with open(folder + "/cloths.json", "w") as file:
        json.dump({"cloths": [{"name": c["name"], **({"colour": c["css"]} if "css" in c else {"photo": next(n for n, i in names.items() if i == c["photo"])})} for c in cloths]}, file)
    with open(folder + "/notes.txt", "w") as file:
        file.write("The vase deserves the middle.\n")
    subprocess.run([PROGRAM, "feedback", folder, "-o", out], check=True, stdout=subprocess.DEVNULL)
    status, pdf = server.ask("GET", path + "/files/feedback.pdf?save=1", wait=120)
    need(f"a feedback sheet: {status} {pdf[:200]}", status == 200 and pdf[:5] == b"%PDF-")
    with open(out + "/got.pdf", "wb") as file:
        file.write(pdf)
    wanted, got = words(f"{out}/{os.path.basename(folder)}/feedback.pdf"), words(out + "/got.pdf")
    need(f"the sheet tells what the command line's tells:\n{wanted}\n----\n{got}", wanted == got and "vase" in got and "deserves" in got)
    kept = os.environ.get("KEEP")
    if kept:
        shutil.copy(out + "/got.pdf", kept)


def main():
    with tempfile.TemporaryDirectory() as data, tempfile.TemporaryDirectory() as aside, Server(data) as server:
        folder = aside + "/Ilse Quarrow"
        os.mkdir(folder)
        fill_folder(folder)
        os.chdir(folder)
        maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
        names, cloths = send(server, maker, folder)
        check_match(server, maker, names)
        check_strokes(server, maker, folder)
        check_feedback(server, maker, names, cloths, folder, aside + "/out")


main()
