#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A photo tells where it was taken, with which camera and by whom. None of it comes out again: photos with EXIF, GPS,
maker's notes, XMP, IPTC, comments, a profile that names its owner and a thumbnail of their own go through every command and
every address, and what comes out is searched, byte for byte and by exiftool."""
import json, os, re, shutil, subprocess, tempfile

from made import by_commands, by_server, inside
from server import SOURCE, Server, need

PHOTOS, MARK = ("vase", "bowl"), b"Wrenfold"  # a word that is nowhere else
WHERE = ("51.178882", "1.826215")
TAGS = {"EXIF:Artist": "Wrenfold-artist", "EXIF:Copyright": "Wrenfold-rights", "EXIF:ImageDescription": "Wrenfold-description",
        "EXIF:UserComment": "Wrenfold-remark", "EXIF:OwnerName": "Wrenfold-owner", "EXIF:SerialNumber": "Wrenfold-serial", "EXIF:LensSerialNumber": "Wrenfold-lens",
        "EXIF:ImageUniqueID": "Wrenfold-unique", "EXIF:HostComputer": "Wrenfold-computer", "EXIF:Make": "Wrenfold-make", "EXIF:Model": "Wrenfold-model",
        "EXIF:DateTimeOriginal": "2011:03:09 04:05:06", "EXIF:GPSLatitude": WHERE[0], "EXIF:GPSLatitudeRef": "N", "EXIF:GPSLongitude": WHERE[1],
        "EXIF:GPSLongitudeRef": "W", "EXIF:GPSAltitude": "118.5", "EXIF:GPSProcessingMethod": "Wrenfold-gps", "EXIF:GPSAreaInformation": "Wrenfold-area",
        "XMP-dc:Creator": "Wrenfold-creator", "XMP-dc:Description": "Wrenfold-xmp", "XMP-xmpRights:Owner": "Wrenfold-xmp-owner",
        "XMP-exif:GPSLatitude": WHERE[0], "XMP-exif:GPSLongitude": WHERE[1], "XMP-photoshop:City": "Wrenfold-city",
        "IPTC:By-line": "Wrenfold-byline", "IPTC:City": "Wrenfold-town", "JPEG:Comment": "Wrenfold-comment", "PNG:Author": "Wrenfold-png", "PNG:Comment": "Wrenfold-png-comment"}
# What exiftool must not find in anything that was made. GPS, owners and cameras by whatever name.
TELLING = re.compile(r"GPS|Artist|Creator$|By-line|Owner|Serial|^Make$|^Model$|HostComputer|UniqueID|DateTimeOriginal|City|ThumbnailImage|MakerNote|UserComment", re.I)


def profile(path):
    """sRGB (IEC 61966-2-1 by Debian's colord-data) whose description names its owner: ICC.1, a desc tag's text."""
    with open("/usr/share/color/icc/colord/sRGB.icc", "rb") as file:
        whole = bytearray(file.read())
    count = int.from_bytes(whole[128:132], "big")
    named = 0
    for i in range(count):
        kind, at, size = whole[132 + 12 * i:136 + 12 * i], *(int.from_bytes(whole[136 + 12 * i + 4 * k:140 + 12 * i + 4 * k], "big") for k in (0, 1))
        if kind not in (b"desc", b"cprt", b"dmnd", b"dmdd"):
            continue
        if whole[at:at + 4] == b"mluc":
            length, start = (int.from_bytes(whole[at + 20 + 4 * k:at + 24 + 4 * k], "big") for k in (0, 1))
            text = "Wrenfold".encode("utf-16-be")[:length]
            whole[at + start:at + start + len(text)] = text
        else:
            text = b"Wrenfold"[:size - 13]
            whole[at + 12:at + 12 + len(text)] = text
        named += 1
    need("the profile names its owner", named >= 1)
    with open(path, "wb") as file:
        file.write(whole)


def photo(folder, name, kind, source="photos"):
    path = f"{folder}/{name}.{kind}"
    subprocess.run(["convert", f"{SOURCE}/assets/demo/{source}/{name}.jpg", "-strip", "-resize", "240x240", path], check=True)
    thumb = f"{folder}/thumb.jpg"
    subprocess.run(["convert", path, "-resize", "60x60", "-set", "comment", "Wrenfold-thumbnail", thumb], check=True)
    words = [f"-{tag}={value}" for tag, value in TAGS.items() if not (tag.startswith("PNG") and kind != "png") and not (tag.startswith("JPEG") and kind != "jpg")]
    words += [f"-ICC_Profile<={folder}/owner.icc"] + ([f"-ThumbnailImage<={thumb}"] if kind != "png" else [])
    subprocess.run(["exiftool", "-q", "-overwrite_original", *words, path], check=True, stderr=subprocess.DEVNULL)
    os.remove(thumb)
    told = tags(path)
    need(f"{path} tells a lot: {told}", sum("Wrenfold" in str(v) for v in told.values()) >= 12 and any("GPSLatitude" in k for k in told))
    return path


def tags(path):
    out = subprocess.run(["exiftool", "-j", "-a", "-u", "-G1", path], stdout=subprocess.PIPE, check=True).stdout
    return json.loads(out)[0]


def material(folder):
    profile(f"{folder}/owner.icc")
    kinds = dict(zip(PHOTOS, ("jpg", "png")))
    os.makedirs(f"{folder}/makers/quarrow")
    paths = [photo(folder, name, kind) for name, kind in kinds.items()]
    cloth = photo(folder, "block", "tif", "cloths")
    plan = {"backcloth": 1, "title": "Stand", "stand": {"width": 200, "depth": 200, "wall_height": 240}, "cloth": {"photo": "block.tif"},
            "pieces": [{"id": name, "title": name, "photo": f"{name}.{kind}", "width": 20, "height": 24, "weight_g": 600, "at": [60 + 70 * i, 150]}
                       for i, (name, kind) in enumerate(kinds.items())]}
    with open(f"{folder}/plan.json", "w") as file:
        json.dump(plan, file)
    with open(f"{folder}/cloths.json", "w") as file:
        json.dump({"cloths": [{"name": "Ink", "colour": "#1f2430"}, {"name": "Ours", "photo": "block.tif"}]}, file)
    for path in paths:
        shutil.copy(path, f"{folder}/makers/quarrow")
    return paths, cloth


def check_made(aside, name, data):
    for part in inside(data):
        need(f"{name} tells what the photo told: {part[max(0, part.find(MARK) - 40):][:120]}", MARK not in part and MARK.decode().encode("utf-16-be") not in part)
        need(f"{name} tells where", not re.search(rb"51[.,]17888|51 deg 10|1[.,]82621", part) and b"2011:03:09" not in part)
        need(f"{name} has blocks of its own", b"Exif\0\0" not in part and b"http://ns.adobe.com/xap" not in part and b"Photoshop 3.0" not in part)
    kind = re.sub(r"\?.*", "", name).rsplit("/", 1)[-1].rsplit(".", 1)[-1]
    path = f"{aside}/one." + {"preview": "jpg", "cutout": "webp", "mask": "png"}.get(kind, kind)
    if not path.endswith((".png", ".jpg", ".webp", ".pdf", ".svg")):
        return 0
    with open(path, "wb") as file:
        file.write(data)
    told = {k: v for k, v in tags(path).items() if TELLING.search(k.split(":")[-1])}
    own = {k for k, v in told.items() if "backcloth" in str(v).lower() or "cairo" in str(v).lower()}  # a PDF's own maker
    need(f"{name}: {told}", set(told) == own)
    return 1


def check_search(aside, path):
    """The search itself finds what it is for: in a photo as it came."""
    with open(path, "rb") as file:
        data = file.read()
    try:
        check_made(aside, path, data)
    except SystemExit:
        return
    need("the search finds what a photo tells", False)


def main():
    with tempfile.TemporaryDirectory() as aside:
        folder = aside + "/stand"
        os.mkdir(folder)
        paths, cloth = material(folder)
        for path in (*paths, cloth):
            check_search(aside, path)
        made = by_commands(folder, [os.path.basename(path) for path in paths], os.path.basename(cloth))
        with Server(aside + "/data") as server:
            maker = server.ask("POST", "/api/makers", {"name": "Ilse Quarrow"})[1]["id"]
            for kind, path in [("piece", path) for path in paths] + [("cloth", cloth)]:
                with open(path, "rb") as file:
                    status, photo_ = server.ask("POST", f"/api/makers/{maker}/photos?kind={kind}", file.read(), {"X-Name": os.path.basename(path)})
                need(f"{path}: {photo_}", status == 201)
                if kind == "piece":
                    server.ask("PUT", f"/api/photos/{photo_['id']}", {"width_cm": 20, "height_cm": 24, "weight_g": 600})
                else:
                    server.ask("POST", f"/api/makers/{maker}/cloths", {"photo": photo_["id"], "name": "Ours"})
            server.ask("POST", f"/api/makers/{maker}/cloths", {"css": "#1f2430"})
            path = f"/api/makers/{maker}/plan"
            now = server.ask("GET", path)[1]
            for i, piece in enumerate(now["plan"]["pieces"]):
                piece["at"] = [60 + 70 * i, 150]
            need("a wall", server.ask("PUT", path, {"base": now["revision"], "plan": now["plan"]})[0] == 200)
            token = server.ask("POST", f"/api/makers/{maker}/links", {"kind": "share"})[1]["url"].rsplit("/", 1)[1]
            made.update(by_server(server.ask, maker, {"X-Link": token}))
        pictures = sum(check_made(aside, name, data) for name, data in made.items())
        need(f"enough was looked at: {len(made)} and {pictures} pictures", pictures >= 32)
    print(f"metadata: {len(made)} answers, lists and pictures, {pictures} of them read by exiftool: none tells who or where")


if __name__ == "__main__":
    main()
