#!/usr/bin/env python3
"""A file's name says what it holds, once: no two folders of src hold files of the same name.

Usage: names.py SOURCE_FOLDER. A header and a source of one folder share theirs."""
import collections
import pathlib
import sys


def main(folder):
    folders = collections.defaultdict(set)
    for path in folder.rglob("*.[ch]"):
        folders[path.stem].add(str(path.parent.relative_to(folder)))
    twice = {stem: where for stem, where in folders.items() if len(where) > 1}
    for stem, where in sorted(twice.items()):
        print(f"{stem} is a file's name in {' and in '.join(sorted(where))}: say what each holds")
    print(f"{len(folders)} names, {len(twice)} of them twice")
    return 1 if twice or len(folders) < 300 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
