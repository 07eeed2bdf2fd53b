"""-o - pipes a picture: the bytes that a file would have, the words on standard error, and never to a terminal."""
import os
import re
import subprocess
import sys

sys.path.insert(0, os.path.dirname(__file__))
from shared import BACKCLOTH, in_terminal

MAGIC = {"png": b"\x89PNG\r\n\x1a\n", "pdf": b"%PDF-", "svg": b"<?xml"}
match = ["match", "ring.jpg", "bowl.jpg", "--cloth", "black", "--cloth", "white"]
ways = [(match, "-o", ("png", "pdf", "svg")), (match, "--compare", ("png", "svg")), (match, "--landscape", ("png",)),
        (["look", "stand.jpg", "--wall-width", "300"], "-o", ("png", "pdf", "svg")),
        (["elevation", "plan.json"], "-o", ("png", "pdf", "svg")),
        (["elevation", "plan.json", "--view", "aisle"], "-o", ("png",)),
        (["sheet", "plan.json"], "-o", ("pdf", "png")), (["read", "ring.jpg"], "--mask-out", ("png",))]
os.environ["SOURCE_DATE_EPOCH"] = "1700000000"
tried = 0
for command, option, formats in ways:
    for i, suffix in enumerate(formats):
        wanted = [] if command[0] == "read" else ["--format", suffix]
        named = subprocess.run([BACKCLOTH, *command, option, f"named.{suffix}"], capture_output=True)
        piped = subprocess.run([BACKCLOTH, *command, option, "-", *wanted], capture_output=True)
        assert piped.returncode == named.returncode and named.returncode in (0, 1), (command, piped.stderr, named.stderr)
        assert piped.stdout[:8].startswith(MAGIC[suffix]), (command, suffix, piped.stdout[:20])
        assert piped.stdout == open(f"named.{suffix}", "rb").read(), (command, suffix, "other bytes than a file has")
        assert sorted(piped.stderr.split()) == sorted((named.stdout + named.stderr).replace(
            b"named." + suffix.encode(), b"standard output").split()), (
            command, "words are lost", piped.stderr, named.stdout)
        if i == 0 and wanted:
            usual = subprocess.run([BACKCLOTH, *command, option, "-"], capture_output=True)
            assert usual.stdout == piped.stdout, (command, "the usual format is the first")
        tried += 1
    written, code = in_terminal([*command, option, "-"])
    assert code == 64 and b"terminal" in written and len(written) < 500, (command, option, code, written[:200])
    figures = [*command, option, "-", "--json"]
    if command[0] != "sheet":
        refused = subprocess.run([BACKCLOTH, *figures], capture_output=True, text=True)
        assert refused.returncode == 64 and "both go to standard output" in refused.stderr and not refused.stdout, figures
    refused = subprocess.run([BACKCLOTH, *command, option, "file.png" if command[0] != "sheet" else "file.pdf", "--format", "png"],
                             capture_output=True, text=True)
    assert refused.returncode == 64 and not os.path.exists("file.png"), (command, "--format beside a file")
# A plan goes there as text, a terminal included; its words do not mix with it.
for command in (["arrange", "plan.json"], ["plan", "sold", "a", "plan.json"], ["plan", "start", "photos"]):
    piped = subprocess.run([BACKCLOTH, *command, "-o", "-"], capture_output=True, text=True)
    assert piped.returncode in (0, 1) and piped.stdout.startswith("{") and piped.stdout.rstrip().endswith("}"), piped
    assert piped.stderr.strip(), (command, "the words are lost")
    if command[1] == "start":
        continue
    both = subprocess.run([BACKCLOTH, *command, "-o", "-", "--json"], capture_output=True, text=True)
    assert both.returncode == 64 and not both.stdout, (command, both)
print(tried, "pictures piped")
