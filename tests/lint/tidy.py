#!/usr/bin/env python3
"""clang-tidy, with the checks of .clang-tidy, over the files of src, on all cores. Usage: tidy.py SOURCE_FOLDER BUILD_FOLDER

What was found in a file is kept in BUILD_FOLDER/tidy under a hash of all that it depends on (the file, our headers that it
includes, its compile command, .clang-tidy, clang-tidy's version), so that after the first run only what changed is read again."""
import concurrent.futures
import functools
import hashlib
import json
import os
import pathlib
import re
import shlex
import subprocess
import sys

TOLD = pathlib.Path(__file__).resolve().with_name("told_the_analyzer.h")
TELLERS = {"context.c"}  # where the functions of TOLD are defined; programs of their own have none of them
INCLUDE = re.compile(r'^\s*#\s*include\s+["<]([^">]+)[">]', re.M)
FINDING = re.compile(r"(?:warning|error): .*\[[\w.,-]+\]$")


@functools.cache
def includes(path):
    return INCLUDE.findall(path.read_text(encoding="utf-8"))


def ours(source, path):
    """The file and every header of ours that it includes, through any number of others."""
    seen, open_ones = {path}, [path]
    while open_ones:
        file = open_ones.pop()
        for name in includes(file):
            for folder in (file.parent, source / "src", source / "include"):
                header = folder / name
                if header.is_file() and header not in seen:
                    seen.add(header)
                    open_ones.append(header)
                    break
    return sorted(seen)


def key(source, path, command, fixed):
    digest = hashlib.sha256(fixed + command.encode())
    for file in ours(source, path):
        digest.update(b"\0" + str(file.relative_to(source)).encode() + b"\0" + file.read_bytes())
    return digest.hexdigest()


def findings(build, told, path, kept):
    """The findings in one file, as lines; None when clang-tidy could not read it."""
    if kept.exists():
        return kept.read_text(encoding="utf-8").splitlines()
    done = subprocess.run(["clang-tidy", "-p", str(build), "--quiet", *told, str(path)], capture_output=True, text=True)
    lines = [line for line in done.stdout.splitlines() if FINDING.search(line)]
    if done.returncode and not lines:
        return [f"{path}: clang-tidy could not read it: {done.stdout}{done.stderr}".strip()]
    written = kept.with_suffix(f".{os.getpid()}")
    written.write_text("".join(line + "\n" for line in lines), encoding="utf-8")
    written.rename(kept)
    return lines


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    source, build = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve()
    version = subprocess.run(["clang-tidy", "--version"], capture_output=True, check=True).stdout
    fixed = version + (source / ".clang-tidy").read_bytes() + TOLD.read_bytes()
    (build / "tidy").mkdir(exist_ok=True)
    told = [f"--extra-arg={word}" for word in ("-include", TOLD, "-Wno-unused-value")]
    work, alone = {}, set()
    for entry in json.loads((build / "compile_commands.json").read_text(encoding="utf-8")):
        path = pathlib.Path(entry["directory"], entry["file"]).resolve()
        if path.is_relative_to(source / "src"):
            command = " ".join(shlex.split(entry["command"])[1:])
            if path.name in TELLERS or f"-I{source / 'src'}" not in command:
                alone.add(path)
            work[path] = build / "tidy" / key(source, path, command, fixed)
    if not work:
        sys.exit("compile_commands.json names no file of src.")
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        found = pool.map(lambda item: findings(build, [] if item[0] in alone else told, *item), sorted(work.items()))
        lines = sorted({line for some in found for line in some})
    for kept in set((build / "tidy").iterdir()) - set(work.values()):
        kept.unlink()
    print("\n".join(lines + [f"{len(work)} files read, {len(lines)} findings"]))
    sys.exit(bool(lines))


if __name__ == "__main__":
    main()
