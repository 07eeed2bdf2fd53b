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
import signal
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


def build(folder, *targets):
    names = ["--target", *targets] if targets else []
    return subprocess.run(["cmake", "--build", str(folder), "-j2", *names], capture_output=True).returncode == 0


def archive(folder, stage):
    return hashlib.sha256((folder / "src" / f"libbc_{stage}.a").read_bytes()).digest()


def tests_named(folder, pattern):
    listed = subprocess.run(["ctest", "--test-dir", str(folder), "-N", "-LE", "deep", "-R", pattern],
                            capture_output=True, text=True).stdout
    return re.findall(r"^\s*Test\s+#\d+: (\S+)", listed, flags=re.M)


def programs(folder, names):
    """What has to be built before these tests run: a program of its own each, or the program itself."""
    made = {name.replace("/", "_") for name in names}
    return sorted(one for one in made if (folder / one).exists()) + (["backcloth"] if any("cli/" in n for n in names) else [])


def is_found(folder, stage):
    """The stage's own tests first: most faults are found there, and nothing else has to be linked for it."""
    above = "|".join(STAGES[STAGES.index(stage) + 1:] or ["none"])
    for pattern in (f"^(unit|reference)/{stage}/", f"^(unit|reference)/({above})/|^cli/(json|plan|split)$"):
        names = tests_named(folder, pattern)
        if names and not build(folder, *programs(folder, names)):
            sys.exit(f"the tests {pattern} do not build.")
        done = subprocess.run(["ctest", "--test-dir", str(folder), "-R", pattern, "-LE", "deep", "-j2", "--stop-on-failure"],
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
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # the file is put back then, too
    places = list(candidates(root, chosen.stage))
    random.Random(chosen.seed).shuffle(places)
    began, tried, killed = time.monotonic(), 0, 0
    for path, start, end, other in places:
        if tried == chosen.count or time.monotonic() - began > chosen.seconds:
            break
        text = path.read_text(encoding="utf-8")
        line = text.count("\n", 0, start) + 1
        stage = path.relative_to(root / "src").parts[0]
        build(folder, f"bc_{stage}")
        before = archive(folder, stage)
        try:
            path.write_text(text[:start] + other + text[end:], encoding="utf-8")
            if not build(folder, f"bc_{stage}") or archive(folder, stage) == before:
                continue
            tried += 1
            found = is_found(folder, stage)
        finally:
            path.write_text(text, encoding="utf-8")
        killed += found
        print(f"{tried:3} {'found   ' if found else 'survives'} {path.relative_to(root)}:{line}: {text[start:end]} as {other}", flush=True)
    build(folder)
    print(f"{tried} faults planted, {killed} found: {100 * killed / max(1, tried):.0f} %")


if __name__ == "__main__":
    main()
