#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The sentences that keep somebody from harm: safety.tsv has each with what must not be lost.

comments POT  puts that into the template as a comment for translators.
tables        brings docs/languages/*.tsv up to date: each sentence with its translation. What somebody wrote there, the
              back-translation and the doubts, stays as long as the translation it was written for; else it is emptied.
check         says what is missing or out of date, and ends with 1.
"""
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
TABLES = HERE.parent.parent / "docs" / "languages"
HEAD = ["English", "what must not be lost", "translation", "back-translation", "doubts"]
LITERAL = re.compile(r'^(?:(msgid|msgid_plural|msgstr(?:\[\d\])?) )?"(.*)"$')


def bare(text):
    """Without marks of direction, which say nothing."""
    return re.sub("[\u2066-\u2069\u200e\u200f]", "", text)


def rows(path):
    lines = path.read_text(encoding="utf-8").splitlines()
    return [line.split("\t") for line in lines[1:] if line]


def shown(escaped):
    """A literal as a table shows it: quotation marks bare, a line's end still written \\n."""
    return escaped.replace('\\"', '"')


def entries(text):
    """Blocks of a .po file with what they hold: {"msgid": …, "msgstr": …, "msgstr[0]": …}."""
    for block in text.rstrip("\n").split("\n\n"):
        held, part = {}, None
        for line in block.split("\n"):
            match = LITERAL.match(line)
            if match:
                part = match.group(1) or part
                held[part] = held.get(part, "") + match.group(2)
        yield block, held


def sentences():
    return {row[0]: row[1] for row in rows(HERE / "safety.tsv")}


def comments(pot):
    path, why, out = pathlib.Path(pot), sentences(), []
    for block, held in entries(path.read_text(encoding="utf-8")):
        lost = why.pop(shown(held.get("msgid", "")), None)
        out.append(f"#. TRANSLATORS: Safety. Must not be lost: {lost}.\n{block}" if lost else block)
    if why:
        sys.exit("safety.tsv has sentences that the program has not: " + "; ".join(why))
    path.write_text("\n\n".join(out) + "\n", encoding="utf-8")


def translations(catalogue):
    found = {}
    for _, held in entries(catalogue.read_text(encoding="utf-8")):
        forms = [text for part, text in sorted(held.items()) if part.startswith("msgstr")]
        found[shown(held.get("msgid", ""))] = " | ".join(dict.fromkeys(shown(form) for form in forms))
    return found


def wanted(catalogue):
    table = TABLES / (catalogue.stem + ".tsv")
    old = {(row[0], bare(row[2])): (row + ["", ""])[3:5] for row in rows(table)} if table.exists() else {}
    in_language = translations(catalogue)
    lines = [HEAD]
    for english, lost in sentences().items():
        translation = in_language[english]
        lines.append([english, lost, translation] + old.get((english, bare(translation)), ["", ""]))
    return table, lines


def main():
    what = sys.argv[1] if len(sys.argv) > 1 else ""
    if what == "comments":
        return comments(sys.argv[2])
    if what not in ("tables", "check"):
        sys.exit(__doc__)
    wrong = []
    for catalogue in sorted(HERE.glob("*.po")):
        table, lines = wanted(catalogue)
        text = "\n".join("\t".join(line).rstrip("\t") if line is not HEAD else "\t".join(line) for line in lines) + "\n"
        if what == "tables":
            table.parent.mkdir(exist_ok=True)
            table.write_text(text, encoding="utf-8")
        elif not table.exists() or table.read_text(encoding="utf-8") != text:
            wrong.append(f"{table}: out of date; python3 assets/locale/safety.py tables")
        wrong += [f"{table}: no back-translation of: {line[2]}" for line in lines[1:] if not line[3]] if what == "check" else []
    print("\n".join(wrong), end="\n" if wrong else "")
    return sys.exit(bool(wrong))


main()
