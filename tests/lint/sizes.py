#!/usr/bin/env python3
"""Files, functions and lists of parameters stay short: what is longer is two ideas.

Usage: sizes.py SOURCE_FOLDER."""
import pathlib
import re
import sys

FILE_LINES, FUNCTION_LINES, PARAMETERS = 400, 60, 6
HEAD = re.compile(r"^(?:[A-Za-z_][\w\s*]*?[\s*])?(\w+)\((.*)$")


def without_comments(text):
    """Comments and texts as blanks, lines kept."""
    def blank(match):
        found = match.group(0)
        return '""' if found[0] == '"' else "''" if found[0] == "'" else re.sub(r"[^\n]", " ", found)
    return re.sub(r'/\*.*?\*/|//[^\n]*|"(?:[^"\\\n]|\\.)*"|\'(?:[^\'\\\n]|\\.)*\'', blank, text, flags=re.S)


def split_parameters(text):
    """How many parameters a list has; commas inside brackets don't count."""
    depth, count = 0, 1
    for letter in text:
        depth += letter in "([{"
        depth -= letter in ")]}"
        count += letter == "," and depth == 0
    return 0 if text.strip() in ("", "void") else count


def functions(lines):
    """(name, first line, lines, parameters) of each function that is defined at the left margin."""
    i = 0
    while i < len(lines):
        head = HEAD.match(lines[i])
        if not head or lines[i][0] in " \t#}":
            i += 1
            continue
        first, text = i, lines[i]
        while i < len(lines) and not re.search(r"[{;]\s*$", text):
            i += 1
            text += " " + (lines[i] if i < len(lines) else "")
        if text.rstrip().endswith("{"):
            start = text.index(head.group(1) + "(") + len(head.group(1)) + 1
            depth, end = 1, start
            while end < len(text) and depth:
                depth += text[end] == "("
                depth -= text[end] == ")"
                end += 1
            while i < len(lines) and not lines[i].startswith("}"):
                i += 1
            yield head.group(1), first + 1, i - first + 1, split_parameters(text[start:end - 1])
        i += 1


def main(folder):
    wrong, seen = [], 0
    for path in sorted(folder.rglob("*.[ch]")):
        text = path.read_text(encoding="utf-8")
        lines = without_comments(text).split("\n")
        if len(text.split("\n")) - 1 > FILE_LINES:
            wrong.append(f"{path.relative_to(folder)}: more than {FILE_LINES} lines")
        for name, first, length, parameters in functions(lines):
            seen += 1
            if length > FUNCTION_LINES:
                wrong.append(f"{path.relative_to(folder)}: {name} has more than {FUNCTION_LINES} lines")
            if parameters > PARAMETERS and "enum MHD_Result" not in lines[first - 1]:  # libmicrohttpd says what it calls
                wrong.append(f"{path.relative_to(folder)}: {name} takes more than {PARAMETERS} parameters")
    for line in sorted(wrong):
        print("over the limit:", line)
    print(f"{seen} functions, {len(wrong)} over a limit")
    return 1 if wrong or seen < 1000 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
