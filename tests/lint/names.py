#!/usr/bin/env python3
"""A file's name says what it holds, once: no two folders of src hold files of the same name. And what begins with bc_ is
public: every such word of the code stands in a header of include; private names begin with their room's.

Usage: names.py SOURCE_FOLDER. A header and a source of one folder share theirs."""
import collections
import pathlib
import re
import sys

NOT_CODE = re.compile(r'/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*"', re.DOTALL)


def private_with_public_names(folder):
    public = set()
    for header in (folder.parent / "include").rglob("*.h"):
        public |= set(re.findall(r"\bbc_\w+", NOT_CODE.sub("", header.read_text(encoding="utf-8"))))
    wrong = {}
    for path in sorted(folder.rglob("*.[ch]")):
        for name in re.findall(r"\bbc_\w+", NOT_CODE.sub("", path.read_text(encoding="utf-8"))):
            if name not in public:
                wrong.setdefault(name, path.relative_to(folder))
    return wrong, len(public)


def main(folder):
    folders = collections.defaultdict(set)
    for path in folder.rglob("*.[ch]"):
        folders[path.stem].add(str(path.parent.relative_to(folder)))
    twice = {stem: where for stem, where in folders.items() if len(where) > 1}
    for stem, where in sorted(twice.items()):
        print(f"{stem} is a file's name in {' and in '.join(sorted(where))}: say what each holds")
    print(f"{len(folders)} names, {len(twice)} of them twice")
    wrong, public = private_with_public_names(folder)
    for name, path in wrong.items():
        print(f"{path}: {name} is in no public header: its room's prefix, not bc_")
    print(f"{public} public names, {len(wrong)} private ones that look so")
    return 1 if twice or wrong or len(folders) < 300 or public < 300 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
