"""No byte of a file's name steers a terminal, whatever the command and wherever the name is printed."""
import os
import re
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.dirname(__file__))
from shared import BACKCLOTH, in_terminal

# ESC, BEL, a C1 introducer as UTF-8, DEL, a bare carriage return, an end of line that would look like another sentence,
# and a byte that is no UTF-8.
EVIL = b"x\x1b[31m\x07\xc2\x9b2J\x7f\rq\nbackcloth: all is well\xff"
ours = re.compile(rb"\x1b\[48;2;\d+;\d+;\d+m|\x1b\[0m|\x1b\[1m|\r\x1b\[K|\r\n")


def path(suffix):
    return EVIL + suffix


def runs():
    jpg, plan, cloths, folder, bad = path(b".jpg"), path(b".json"), path(b"-cloths.json"), path(b"-folder"), path(b"-bad.jpg")
    shutil.copy("ring.jpg", jpg)
    shutil.copy("plan.json", plan)
    shutil.copy("cloths.json", cloths)
    open(bad, "w").write("no photo")
    os.mkdir(folder)
    shutil.copy("ring.jpg", os.path.join(folder, jpg))
    missing, arch = path(b"-missing"), path(b".zip")
    for command in (b"read", b"match", b"look", b"plan", b"arrange", b"elevation", b"loads", b"packing", b"sheet", b"feedback",
                    b"serve"):
        yield [command, missing]
        yield [command, b"--" + EVIL]
        yield [command, jpg, b"--units", EVIL]
    yield [EVIL]
    yield [b"read", jpg, bad]
    yield [b"read", jpg, b"--json"]
    yield [b"read", jpg, b"--mask-out", path(b"")]
    yield [b"read", jpg, b"--mask", missing]
    yield [b"match", jpg, b"--cloth", b"photo:" + jpg, b"--why", b"best"]
    yield [b"match", jpg, b"--cloth", b"photo:" + jpg, b"--json"]
    yield [b"match", jpg, b"--cloths", cloths, b"--cloth", EVIL]
    yield [b"match", jpg, b"--cloth", b"black", b"--why", EVIL]
    yield [b"match", jpg, b"--cloth", b"black", b"--statement", EVIL]
    yield [b"match", jpg, b"--cloth", b"black", b"--see-through", EVIL]
    yield [b"match", b"--readings", bad, b"--cloth", b"black"]
    yield [b"look", jpg, b"--wall-width", b"300"]
    yield [b"look", jpg, b"--wall-width", EVIL]
    yield [b"plan", b"start", folder, b"-o", path(b"-new.json")]
    yield [b"plan", b"start", folder, b"-o", plan]
    yield [b"plan", b"sold", EVIL, plan]
    yield [b"plan", b"check", jpg]
    yield [b"arrange", plan, b"-o", path(b"-arranged.json")]
    yield [b"arrange", plan, b"--style", EVIL]
    yield [b"elevation", plan, b"-o", path(b".docx")]
    yield [b"elevation", plan, b"-o", path(b".png"), b"--view", EVIL]
    yield [b"loads", jpg]
    yield [b"packing", jpg]
    yield [b"sheet", plan, b"-o", path(b".pdf"), b"--language", EVIL]
    yield [b"sheet", plan, b"-o", path(b".txt")]
    yield [b"feedback", folder, b"-o", path(b"-sheets")]
    yield [b"feedback", folder, b"-o", path(b"-sheets"), b"--json"]
    yield [b"serve", b"--data", path(b"-data"), b"--import", missing]
    yield [b"serve", b"--data", path(b"-data"), b"--export", arch]


wrong = tried = 0
for arguments in runs():
    tried += 1
    said = subprocess.run([os.fsencode(BACKCLOTH), *arguments], stdin=subprocess.DEVNULL, capture_output=True, timeout=300)
    for name, text in (("standard output", said.stdout), ("standard error", said.stderr)):
        steers = re.search(rb"[\x00-\x08\x0b-\x1f\x7f]|\xc2[\x80-\x9f]", text)
        false = b"\nbackcloth: all is well" in b"\n" + text
        if steers or false:
            wrong += 1
            print(f"{arguments}: {name}: {steers or 'a sentence of its own'}: {text[:300]}")
    # The same on a terminal, where our own marks may stand.
    for text in [in_terminal(arguments)[0]] if tried % 4 == 1 else []:
        rest = ours.sub(b"\n", text)
        if re.search(rb"[\x00-\x08\x0b-\x1f\x7f]|\xc2[\x80-\x9f]", rest):
            wrong += 1
            print(f"{arguments}: on a terminal: {rest[:300]}")
print(tried, "runs,", wrong, "wrong")
sys.exit(1 if wrong or tried < 50 else 0)
