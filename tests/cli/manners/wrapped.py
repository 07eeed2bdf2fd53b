"""On a terminal lines are wrapped by its columns in every script, by a reference table of columns (python's unicodedata,
Unicode Standard Annex 11) and not at all in a pipe; colours and progress are shown on terminals only."""
import os
import re
import subprocess
import sys
import unicodedata

sys.path.insert(0, os.path.dirname(__file__))
from shared import BACKCLOTH, in_terminal


def columns(text):
    total = 0
    for letter in text:
        if unicodedata.category(letter) in ("Mn", "Me", "Cf"):
            continue
        total += 2 if unicodedata.east_asian_width(letter) in ("W", "F") else 1
    return total


def plain(written):
    return re.sub(r"\x1b\[[0-9;]*m", "", written.decode()).replace("\r\n", "\n")


def words(text):
    return text.split()


for language in ("en", "es", "fr", "hi", "ar"):
    for arguments in (["match", "--help"], ["match", "ring.jpg", "bowl.jpg", "--cloth", "#1f2430", "--suggest", "3"],
                      ["loads", "plan.json"], ["feedback", "--help"], ["plan", "check", "plan.json"]):
        piped = subprocess.run([BACKCLOTH, *arguments], env=dict(os.environ, LANGUAGE=language, COLUMNS="40"),
                               capture_output=True, text=True).stdout
        longest = max(columns(line) for line in piped.split("\n"))
        for width in (50, 80):
            written, _ = in_terminal(arguments, width, LANGUAGE=language)
            text = plain(written)
            for line in text.split("\n"):
                # A word longer than the line stays whole.
                assert columns(line) <= width or len(words(line)) == 1, (language, arguments, width, columns(line), line)
            if longest > width:
                assert max(columns(line) for line in text.split("\n")) > width - 25, (language, arguments, "wrapped too early")
            assert "".join(words(text)) == "".join(words(piped)), (language, arguments, "the words differ from those in a pipe")
        assert longest > 50 or arguments[0] == "plan", (language, arguments, longest, "a pipe is not wrapped")

# Letters of two columns, and marks of none.
wide = "布" * 20 + " " + "布" * 20 + " e" + "\u0301" * 30 + " " + "布" * 4
written = plain(in_terminal([wide], 60)[0])
assert all(columns(line) <= 60 for line in written.split("\n")), written
assert len(written.strip().split("\n")) >= 2, written

# COLUMNS before what the terminal says.
narrow = plain(in_terminal(["--help"], 120, COLUMNS="40")[0])
assert max(columns(line) for line in narrow.split("\n") if len(words(line)) > 1) <= 40, narrow

# Under the first letter of the last column.
helped = plain(in_terminal(["read", "--help"], 70)[0]).split("\n")
under = [line for line in helped if line.startswith(" " * 30)]
assert len(under) > 8, helped

# Colours: a swatch before a colour, on a terminal only, and not under NO_COLOR or on a dumb one.
suggest = ["match", "ring.jpg", "--cloth", "#1f2430", "--suggest", "3"]
assert b"\x1b[48;2;" in in_terminal(suggest)[0]
assert b"\x1b[1mbackcloth: " in in_terminal(["bread"])[0]
for more in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
    for arguments in (suggest, ["bread"]):
        environment = dict(os.environ, **more)
        if "TERM" in more:
            continue
        assert b"\x1b[" not in in_terminal(arguments, **more)[0].replace(b"\r\x1b[K", b""), (arguments, more)
assert b"\x1b[48" in in_terminal(suggest, NO_COLOR="")[0], "an empty NO_COLOR is none (no-color.org)"
for stream in (subprocess.run([BACKCLOTH, *suggest], capture_output=True),
               subprocess.run([BACKCLOTH, "bread"], capture_output=True)):
    assert b"\x1b" not in stream.stdout + stream.stderr, "a colour in a pipe"

# Progress: work of more than two seconds shows a bar on a terminal and nothing in a pipe, and leaves no trace of it.
many = [f"copy{i}.jpg" for i in range(40)]
for name in many:
    subprocess.run(["convert", os.path.join(os.environ["DEMO"], "photos", "basket-round.jpg"), "-resize", "1400x1400",
                    "-modulate", f"{100 - len(os.listdir('.')) % 17},100", name], check=True)
written, code = in_terminal(["read", "--no-store", *many])
assert code == 0
bars = re.findall(rb"\r\x1b\[K\[([#.]{24})\] photos read: (\d+) of 40", written)
assert len(bars) >= 2, ("no bar", written[:200])
assert [int(done) for _, done in bars] == sorted(int(done) for _, done in bars)
assert not re.search(rb"photos read[^\r]*[^\r]\n", written), "the line stays"
piped = subprocess.run([BACKCLOTH, "read", "--no-store", *many], capture_output=True)
assert piped.stderr == b"", piped.stderr
assert b"photos read" not in piped.stdout
print("all as it should be")
