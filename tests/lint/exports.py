#!/usr/bin/env python3
"""No function is visible that nobody else uses: what one file alone uses is static, what nobody uses goes.

Usage: exports.py BUILD_FOLDER [INCLUDE_FOLDER]. Reads the symbol tables of the stages' archives and of the tests,
benches and programs that use them; a function of a public header may be there for others."""
import collections
import pathlib
import re
import subprocess
import sys


def symbols(build):
    """defined: name -> objects that define it; used: name -> objects that need it."""
    defined, used = collections.defaultdict(set), collections.defaultdict(set)
    objects = [p for part in ("src", "tests") for p in (build / part).rglob("*.o")]
    out = subprocess.run(["nm", "-A", "--format=posix", *map(str, objects)], capture_output=True, text=True, check=True)
    for line in out.stdout.splitlines():
        where, name, kind = re.match(r"(.+?\.o): (\S+) (\S)", line).groups()
        if kind in "TDBR":
            defined[name].add(where)
        elif kind == "U":
            used[name].add(where)
    return defined, used


def main(build, include):
    defined, used = symbols(build)
    public = set()
    for header in include.rglob("*.h"):
        public |= set(re.findall(r"\b(bc_\w+)\(", header.read_text(encoding="utf-8")))
    wrong = []
    source = include.parent / "src" # what an object of a file that is gone still says does not count
    ours = {n: w for n, w in defined.items()
            if any("/src/CMakeFiles/bc_" in o and (source / o.split(".dir/")[-1][:-2]).exists() for o in w)}
    for name, where in sorted(ours.items()):
        others = used[name] - where
        if not others and name not in public and not name.startswith("network_bytes"):  # these two are an .incbin's
            wrong.append(f"{min(where).split('.dir/')[-1]}: {name} is used by no other file: make it static or take it out")
    print("\n".join(wrong))
    print(f"{len(ours)} visible names, {len(wrong)} without need")
    return 1 if wrong or len(ours) < 500 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])))
