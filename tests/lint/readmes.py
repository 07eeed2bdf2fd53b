#!/usr/bin/env python3
"""Each folder of src says in a README of about ten lines what comes in, what goes out and which file to read first; the
files and links that it names are there.

Usage: readmes.py SOURCE_FOLDER."""
import pathlib
import re
import sys

LEAST, MOST = 4, 14
FILE = re.compile(r"`([\w*/]+\.(?:c|h|cmake|sh|in|map))`")
LINK = re.compile(r"\]\(([^)#]+)\)")


def faults_of(folder, source):
    readme = folder / "README.md"
    if not readme.exists():
        yield "there is none"
        return
    text = readme.read_text(encoding="utf-8")
    if not LEAST <= text.count("\n") <= MOST:
        yield f"{text.count(chr(10))} lines"
    for word in ("In:", "Out:"):
        if word not in text:
            yield f"does not say what goes {word[:-1].lower()}"
    for name in FILE.findall(text):
        if not any(list(place.glob(name)) for place in (folder, source, source.parent, source.parent / "include/backcloth")):
            yield f"{name} is not there"
    for link in LINK.findall(text):
        if not link.startswith("http") and not (folder / link).exists():
            yield f"{link} leads nowhere"


def main(source):
    folders = [source] + sorted(p for p in source.rglob("*") if p.is_dir())
    wrong = [f"{folder.relative_to(source.parent)}/README.md: {fault}" for folder in folders for fault in faults_of(folder, source)]
    print("\n".join(wrong))
    print(f"{len(folders)} folders, {len(wrong)} faults in their READMEs")
    return 1 if wrong or len(folders) < 20 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
