#!/usr/bin/env python3
"""Plants faults in src/, one at a time, and reports how many the tests near by find.

Usage: mutants.py [--build FOLDER] [--count 200] [--seed 1] [--stage NAME …] [--seconds 3000]

A fault is a constant that is changed (doubled, halved, or off by one) or a comparison that is turned (< for <=, > for
>=, == for !=). Words, drawings, the page's server and the command line are left out. The tests near by are those of the
fault's own stage and of the stages above it that ctest names unit/, reference/ or cli/json, stopped at the first that
fails. A fault that does not compile is drawn again; one that changes no object file (the compiler sees no difference) is
left out. The tree must have no uncommitted change in src/; each file is put back whatever happens."""
import argparse
import hashlib
import pathlib
import random
import re
import subprocess
import sys
import time

STAGES = ["base", "photo", "colour", "cutout", "reading", "match", "plan", "look", "aisle", "loads", "arrange"]
COMPARE = {"<=": "<", ">=": ">", "<": "<=", ">": ">=", "==": "!=", "!=": "=="}
TOKEN = re.compile(r"(?<![\w.])(?P<number>\d+\.\d+|\d+)(?![\w.])| (?P<compare><=|>=|==|!=|<|>) ")


def candidates(root, stages):
    """(path, start, end, replacement): every place where a fault can be planted."""
    for stage in stages:
        for path in sorted((root / "src" / stage).rglob("*.c")):
            if "words" in path.name or "json" in path.name:
                continue
            text = path.read_text(encoding="utf-8")
            quiet = re.sub(r'/\*.*?\*/|"(?:[^"\\\n]|\\.)*"|\'(?:[^\'\\\n]|\\.)*\'|^#include[^\n]*',
                           lambda m: re.sub(r"[^\n]", "~", m.group(0)), text, flags=re.S | re.M)
            for found in TOKEN.finditer(quiet):
                if found.group("compare"):
                    yield path, found.start("compare"), found.end("compare"), COMPARE[found.group("compare")]
                else:
                    yield path, found.start(), found.end(), changed(found.group("number"))


def changed(number):
    if "." in number:
        return repr(float(number) * 2) if float(number) else "0.5"
    return str(int(number) + 1)


def build(folder):
    return subprocess.run(["cmake", "--build", str(folder), "-j2"], capture_output=True).returncode == 0


def archives(folder):
    return {p: hashlib.sha256(p.read_bytes()).digest() for p in (folder / "src").glob("libbc_*.a")}


def is_found(folder, stage):
    above = "|".join(STAGES[STAGES.index(stage):])
    for names in (f"^(unit|reference)/{stage}/", f"^(unit|reference)/({above})/|^cli/(json|plan|split)$"):
        done = subprocess.run(["ctest", "--test-dir", str(folder), "-R", names, "-LE", "deep", "-j2", "--stop-on-failure"],
                              capture_output=True)
        if done.returncode:
            return True
    return False


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--build", default="build")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=3000)
    parser.add_argument("--stage", nargs="*", default=STAGES)
    chosen = parser.parse_args()
    root, folder = pathlib.Path(__file__).resolve().parents[2], pathlib.Path(chosen.build).resolve()
    if subprocess.run(["git", "diff", "--quiet", "--", "src"], cwd=root).returncode:
        sys.exit("src/ has changes that are not committed; commit them first.")
    if not build(folder):
        sys.exit("the tree does not build as it is.")
    places = list(candidates(root, chosen.stage))
    random.Random(chosen.seed).shuffle(places)
    began, tried, killed, survivors = time.monotonic(), 0, 0, []
    for path, start, end, other in places:
        if tried == chosen.count or time.monotonic() - began > chosen.seconds:
            break
        text = path.read_text(encoding="utf-8")
        line = text.count("\n", 0, start) + 1
        before = archives(folder)
        try:
            path.write_text(text[:start] + other + text[end:], encoding="utf-8")
            if not build(folder) or archives(folder) == before:
                continue
            tried += 1
            found = is_found(folder, path.relative_to(root / "src").parts[0])
        finally:
            path.write_text(text, encoding="utf-8")
        killed += found
        if not found:
            survivors.append(f"{path.relative_to(root)}:{line}: {text[start:end]} as {other}")
            print("survives:", survivors[-1], flush=True)
    build(folder)
    print(f"{tried} faults planted, {killed} found: {100 * killed / max(1, tried):.0f} %")


if __name__ == "__main__":
    main()
