"""No option is dropped without a word: every option of every command beside --json and --csv is honoured (other figures,
or a file of its own) or refused with a sentence that names it. The options are those that --help lists, so that a new one
fails here until it says which."""
import os
import re
import shutil
import subprocess
import sys

BACKCLOTH = os.environ["BACKCLOTH"]
FIGURES = "other figures"
REFUSED = "refused"


def file(name):
    return ("a file", name)


def same(reason):
    return ("the same figures", reason)


HOW = same("how the work is done, not what comes out")
STUDY = {
    "box": (["--box", "60,60,200,200"], FIGURES),
    "mask": (["--mask", "bowl.mask.png"], FIGURES),
    "guess": (["--guess", "bowl.mask.png", "--box", "100,100,150,150"], FIGURES),
    "split": (["--split"], same("one piece lies in this photo: cli/split has one with several")),
    "keep": (["--keep", "10,10"], FIGURES),
    "drop": (["--drop", "200,200"], FIGURES),
    "white": (["--white", "2,2,30,30"], FIGURES),
    "white-is": (["--white", "2,2,30,30", "--white-is", "#ffd0b0"], FIGURES),
    "as-shot": (["--as-shot"], same("no sheet is found in this photo")),
    "masks": (["--masks", "masks"], FIGURES),
    "trust": (["--trust"], HOW),
    "no-store": (["--no-store"], HOW),
}
JSON = {"json": (["--json"], same("it is asked for already"))}
MATCH = ["match", "bowl.jpg", "--cloth", "#1f2430", "--cloth", "#efe6d2"]
ELEVATION_ALONE = {name: (words, REFUSED) for name, words in {
    "format": ["--format", "png"], "scale": ["--scale", "1:20"], "paper": ["--paper", "a4"], "pixels-per-cm": ["--pixels-per-cm", "2"],
    "view": ["--view", "aisle"], "crowd": ["--crowd", "2"], "bare": ["--bare"], "masks": ["--masks", "masks"],
    "units": ["--units", "imperial"]}.items()}
LIST = {"units": (["--units", "imperial"], REFUSED), "csv": (["--csv"], REFUSED), "json": (["--json"], REFUSED)}
SERVE = ["port", "bind", "password-file", "public-url", "page"]

# (base with the figures, options beside it); an option that takes figures elsewhere is in a base of its own.
TABLE = [
    (["read", "bowl.jpg", "--json"], {**STUDY, **JSON, "mask-out": (["--mask-out", "new.png"], file("new.png")),
                                      "stored": (["--stored"], FIGURES)}),
    (MATCH + ["--json"], {**STUDY, **JSON,
        "plan": (["--plan", "plan.json"], FIGURES), "readings": (["--readings", "ring.jsonl"], FIGURES),
        "cloth": (["--cloth", "#804020"], FIGURES), "cloths": (["--cloths", "cloths.json"], FIGURES),
        "table-cloth": (["--table-cloth", "black"], REFUSED), "output": (["-o", "new.png"], file("new.png")),
        "format": (["--format", "png"], REFUSED), "compare": (["--compare", "new.svg"], file("new.svg")),
        "landscape": (["--landscape", "new.png"], file("new.png")), "light": (["--light", "A"], FIGURES),
        "lights": (["--lights"], FIGURES), "distance": (["--distance", "7"], FIGURES), "width": (["--width", "32"], FIGURES),
        "statement": (["--statement", "bowl.jpg"], FIGURES), "see-through": (["--see-through", "bowl.jpg=40"], FIGURES),
        "polished": (["--polished", "bowl.jpg=60"], FIGURES), "suggest": (["--suggest", "2"], FIGURES), "why": (["--why", "best"], FIGURES)}),
    (["look", "stand.jpg", "--json", "--wall-width", "300"], {**JSON,
        "wall-width": (["--wall-width", "200"], FIGURES), "wall-height": (["--wall-height", "150"], FIGURES),
        "corners": (["--corners", "100,100,700,110,720,500,90,510"], FIGURES), "box": (["--box", "300,200,80,80"], FIGURES),
        "cloth": (["--cloth", "#1f2430"], FIGURES), "output": (["-o", "new.png"], file("new.png")),
        "format": (["--format", "png"], REFUSED), "units": (["--units", "imperial"], REFUSED),
        "trust": (["--trust"], HOW), "no-store": (["--no-store"], HOW)}),
    (["plan", "check", "plan.json", "--json"], {**JSON, "output": (["-o", "new.json"], REFUSED),
        "title": (["--title", "T"], REFUSED), "units": (["--units", "imperial"], REFUSED)}),
    (["plan", "sold", "a", "plan.json", "--json"], {**JSON, "output": (["-o", "new.json"], file("new.json")),
        "title": (["--title", "T"], REFUSED), "units": (["--units", "imperial"], REFUSED)}),
    (["plan", "add", "b", "plan.json", "--json"], {**JSON, "output": (["-o", "new.json"], file("new.json")),
        "title": (["--title", "T"], REFUSED), "units": (["--units", "imperial"], REFUSED)}),
    (["arrange", "plan.json", "--json"], {**JSON, "output": (["-o", "new.json"], file("new.json")),
        "style": (["--style", "level rows", "-o", "new.json"], file("new.json")), "afresh": (["--afresh"], FIGURES),
        "seed": (["--seed", "9"], same("two pieces leave little choice: cli/arrange has more")),
        "groups": (["--groups"], FIGURES), "group-by": (["--group-by", "size", "-o", "new.json"], file("new.json")),
        "units": (["--units", "imperial"], FIGURES), "trust": (["--trust"], HOW), "no-store": (["--no-store"], HOW)}),
    (["arrange", "plan.json", "--json", "--groups"], {**JSON, "output": (["-o", "new.json"], REFUSED),
        "style": (["--style", "level rows"], REFUSED), "afresh": (["--afresh"], REFUSED), "seed": (["--seed", "9"], REFUSED),
        "group-by": (["--group-by", "size"], REFUSED), "groups": ([], same("it is asked for already")),
        "units": (["--units", "imperial"], FIGURES), "trust": (["--trust"], HOW), "no-store": (["--no-store"], HOW)}),
    (["elevation", "plan.json", "--json"], {**JSON, **ELEVATION_ALONE, "output": (["-o", "new.png"], file("new.png")),
        "trust": (["--trust"], HOW), "no-store": (["--no-store"], HOW)}),
    (["loads", "plan.json", "--json"], {**LIST, **JSON}),
    (["loads", "plan.json", "--csv"], {**LIST, "csv": ([], same("it is asked for already"))}),
    (["packing", "plan.json", "--json"], {**LIST, **JSON}),
    (["packing", "plan.json", "--csv"], {**LIST, "csv": ([], same("it is asked for already"))}),
    (["feedback", "photos", "-o", "sheets", "--json"], {**JSON, "output": (["-o", "new"], file("new/index.html")),
        "cloths": (["--cloths", "cloths.json"], FIGURES), "jobs": (["--jobs", "1"], HOW),
        "language": (["--language", "es"], same("words of the sheets")), "paper": (["--paper", "letter"], same("the sheets' paper")),
        "units": (["--units", "imperial"], same("units of the sheets")),
        "cache": (["--cache", "new-cache"], file("new-cache")), "trust": (["--trust"], HOW), "no-store": (["--no-store"], HOW)}),
]
# Beside no figures: pairs of which one would be dropped.
PAIRS = [["match", "bowl.jpg", "--cloth", "black", "--light", "A", "--lights"], MATCH + ["--why", "best", "--suggest", "2"],
         MATCH + ["--why", "best", "--lights"], ["read", "bowl.jpg", "--mask", "bowl.mask.png", "--box", "1,1,9,9"],
         ["read", "bowl.jpg", "--masks", "masks", "--mask", "bowl.mask.png"],
         ["read", "bowl.jpg", "--white", "1,1,9,9", "--as-shot"], ["feedback", "photos", "-o", "s", "--cache", "c", "--no-store"],
         ["match", "--readings", "ring.jsonl", "--cloth", "black", "--masks", "masks"],
         ["match", "--readings", "ring.jsonl", "--cloth", "black", "--as-shot"],
         ["elevation", "plan.json", "-o", "new.png", "--bare", "--scale", "1:20"],
         ["elevation", "plan.json", "-o", "new.png", "--scale", "1:20"],
         ["elevation", "plan.json", "-o", "new.pdf", "--pixels-per-cm", "9"],
         ["elevation", "plan.json", "-o", "new.pdf", "--view", "aisle", "--scale", "1:20"]]
PAIRS += [["serve", "--data", "d", "--export", "new.zip", f"--{name}", "1"] for name in SERVE if name != "password-file"]
PAIRS += [["serve", "--data", "d", "--import", "plan.json", "--recover"], ["serve", "--data", "d", "--export", "new.zip", "--recover"]]


def run(arguments):
    done = subprocess.run([BACKCLOTH, *arguments], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300)
    return done.returncode, done.stdout, done.stderr


def remove(name):
    shutil.rmtree(name) if os.path.isdir(name) else os.path.exists(name) and os.remove(name)


wrong = []
tried = 0
for base, options in TABLE:
    helped = run([base[0], "--help"])[1]
    listed = set(re.findall(r"^  (?:-\w, )?--([a-z-]+)", helped, re.M)) - {"help", "version"}
    for name in listed - set(options):
        wrong.append(f"{' '.join(base)}: what becomes of --{name}?")
    for name in set(options) - listed:
        if not (name in ("csv", "units") and base[0] in ("loads", "packing")):
            wrong.append(f"{' '.join(base)}: there is no --{name}")
    usual = run(base)
    if usual[0] not in (0, 1) or not usual[1]:
        wrong.append(f"{' '.join(base)}: {usual}")
    for name, (words, becomes) in options.items():
        tried += 1
        made = becomes[1].split("/")[0] if becomes[0] == "a file" else None
        if made:
            remove(made)
        code, out, err = run(base + words)
        said = f"{' '.join(base + words)}: exit {code}, {becomes}: {err[:200]}"
        if becomes == REFUSED:
            if code != 64 or f"--{name}" not in err or out:
                wrong.append(said)
        elif code not in (0, 1) or (becomes == FIGURES and out == usual[1]):
            wrong.append(said)
        elif made and not os.path.exists(becomes[1]):
            wrong.append(said)
        if made:
            remove(made)
for words in PAIRS:
    tried += 1
    code, out, err = run(words)
    if code != 64 or not re.search("--[a-z]", err):
        wrong.append(f"{' '.join(words)}: exit {code}: {err[:200]}")
print(tried, "tried")
print("\n".join(wrong))
sys.exit(1 if wrong or tried < 120 else 0)
