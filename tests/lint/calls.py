#!/usr/bin/env python3
"""docs/web.md names every call of the server, with who may make it, every file to download and every limit; and none that
is not there.

Usage: calls.py SOURCE_FOLDER."""
import pathlib
import re
import sys

ROLES = {"WEB_NOBODY": "anybody", "WEB_VIEWER": "viewer", "WEB_MAKER": "maker", "WEB_OWNER": "owner"}
# Where a limit is in the code, and the row of the document with its number.
LIMITS = [
    ("http/request.h", r"WEB_PHOTO_MOST \(\(uint64_t\)(\d+) << 20\)", r"\| a photo \| (\d+) MB"),
    ("http/request.h", r"WEB_BODY_MOST \(\(size_t\)(\d+) << 20\)", r"\| a JSON body \| (\d+) MB"),
    ("http/request.h", r"WEB_BODY_MOST_OF_NOBODY \(\(size_t\)(\d+) << 10\)", r"\| a JSON body \| \d+ MB; (\d+) KB"),
    ("calls/calls.h", r"WEB_PHOTOS_MOST (\d+)", r"\| photos, cloths, comments of one maker \| (\d+),"),
    ("calls/calls.h", r"WEB_CLOTHS_MOST (\d+)", r"\| photos, cloths, comments of one maker \| \d+, (\d+),"),
    ("calls/calls.h", r"WEB_REMARKS_MOST (\d+)", r"\| photos, cloths, comments of one maker \| \d+, \d+, (\d+)"),
    ("calls/calls.h", r"WEB_HELP_MOST \(\(size_t\)(\d+) << 10\)", r"\| a cut-out's strokes \| (\d+) KB"),
    ("calls/calls.h", r"WEB_NAME_MOST (\d+)", r"\| a name or title, a comment \| (\d+),"),
    ("calls/calls.h", r"WEB_REMARK_MOST (\d+)", r"\| a name or title, a comment \| \d+, (\d+) "),
    ("http/address.h", r"WEB_ADDRESS_MOST (\d+)u", r"\| an address \(path and query\) \| (\d+) bytes"),
    ("http/http.c", r"MHD_OPTION_CONNECTION_LIMIT, (\d+)u", r"\| connections \| (\d+),"),
    ("http/http.c", r"CONNECTIONS_AN_ADDRESS (\d+)u", r"\| connections \| \d+, and (\d+) "),
    ("http/guard.c", r"\? (\d+) : \d+, 600\)", r"\| photos in ten minutes \| (\d+) by"),
    ("http/guard.c", r"\? \d+ : (\d+), 600\)", r"\| photos in ten minutes \| \d+ by a link, (\d+) from"),
    ("calls/call_visits.c", r"#define TRIES (\d+)", r"\| wrong passwords \| (\d+) in"),
    ("store/access.h", r"WEB_VISIT_DAYS (\d+)", r"A session lasts (\d+) days"),
    ("jobs/decode.c", r"POINTS_MOST (\d+)", r"\| a cut-out's strokes \| \d+ KB, (\d+) points"),
]


def calls_of_program(web):
    found = re.findall(r'\{"(\w+)", "(/api/[^"]*)", (WEB_\w+),', (web / "calls/routes.c").read_text(encoding="utf-8"))
    return {(method, path, ROLES[role]) for method, path, role in found}


def calls_of_document(text):
    found = re.findall(r"^\| `(GET|POST|PUT|DELETE) (/api/\S*)` \| (\w+) \|", text, flags=re.M)
    return {(method, re.sub(r"(?<=/)[A-Z]+(?=/|$)", "*", path), role) for method, path, role in found}


def files_of_program(web):
    body = re.search(r"static web_answer send_file\(.*?\n}\n", (web / "calls/plan_files.c").read_text(encoding="utf-8"), re.S)
    return set(re.findall(r'"([a-z]+\.[a-z]+)"', body.group(0)))


def files_of_document(text):
    row = re.search(r"^\| `GET /api/makers/M/files/FILE`.*$", text, flags=re.M).group(0)
    return set(re.findall(r"`([a-z]+\.[a-z]+)`", row))


def number(pattern, text):
    found = re.search(pattern, text)
    return found.group(1) if found else None


def main(root):
    web, text = root / "src/web", (root / "docs/web.md").read_text(encoding="utf-8")
    program, document = calls_of_program(web), calls_of_document(text)
    wrong = [f"not in docs/web.md: {' '.join(one)}" for one in sorted(program - document)]
    wrong += [f"not in the program: {' '.join(one)}" for one in sorted(document - program)]
    wrong += [f"a download of one of them alone: {one}" for one in sorted(files_of_program(web) ^ files_of_document(text))]
    for name, code, told in LIMITS:
        here, there = number(code, (web / name).read_text(encoding="utf-8")), number(told, text)
        if here is None or here != there:
            wrong.append(f"{name}, {code}: {here}, docs/web.md: {there}")
    print(*wrong, sep="\n")
    print(f"{len(program)} calls, {len(files_of_program(web))} files, {len(LIMITS)} limits, {len(wrong)} wrong")
    return 1 if wrong or len(program) < 40 or len(files_of_program(web)) < 10 else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
