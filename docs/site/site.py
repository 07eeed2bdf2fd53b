#!/usr/bin/env python3
"""Makes a site of the documents: plain HTML with the same links and pictures, by cmark-gfm (Debian).

    python3 docs/site/site.py FOLDER        # or: cmake --build build --target site

README.md becomes index.html, each other NAME.md NAME.html; pictures and files that are linked to come along. A link that
leads nowhere ends it with exit code 1 and a list of them.
"""
import html
import os
import re
import shutil
import subprocess
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
MENU = [("README.md", "Start"), ("docs/evening.md", "An evening with seven baskets"), ("docs/plan.md", "The plan file"),
        ("docs/answers/README.md", "JSON"), ("docs/method.md", "Method"), ("docs/limits.md", "Limits"),
        ("docs/programme.md", "Many makers"), ("docs/server.md", "A server"), ("DEVELOPERS.md", "Developers")]
STYLE = """:root{color-scheme:light dark}body{font:17px/1.55 system-ui,sans-serif;max-width:46rem;margin:0 auto;padding:1rem}
nav{display:flex;flex-wrap:wrap;gap:.2rem 1rem;border-bottom:1px solid;padding-bottom:.6rem;font-size:.9rem}
img{max-width:100%;height:auto}pre{overflow-x:auto;padding:.7rem;border:1px solid;border-radius:4px}code{font-size:.9em}
.wide{overflow-x:auto}table{border-collapse:collapse;font-size:.92em}td,th{border:1px solid;padding:.25rem .5rem;text-align:left;
vertical-align:top}a:focus-visible{outline:3px solid}"""


def documents():
    found = ["README.md", "DEVELOPERS.md", "assets/demo/README.md"]
    for folder, _, files in os.walk(os.path.join(ROOT, "docs")):
        found += [os.path.relpath(os.path.join(folder, f), ROOT) for f in files if f.endswith(".md")]
    return sorted(found)


def address(document):
    """Where a document's page lies, below the site's folder."""
    folder, name = os.path.split(document)
    return os.path.join(folder, "index.html" if name == "README.md" else name[:-3] + ".html")


def anchor(heading):
    """As the usual hosts make it: letters and digits in small letters, a hyphen for each space."""
    text = html.unescape(re.sub(r"<[^>]*>", "", heading)).strip().lower()
    return re.sub(r"[^\w\- ]", "", text).replace(" ", "-")


def relink(found, document, pages, extra):
    """One href or src: to the page that the document became, or to the file, which then comes along."""
    attribute, target = found.group(1), html.unescape(found.group(2))
    if re.match(r"[a-z]+:|#", target):
        return found.group(0)
    path, _, part = target.partition("#")
    there = os.path.normpath(os.path.join(os.path.dirname(document), path))
    if os.path.isdir(os.path.join(ROOT, there)) and os.path.join(there, "README.md") in pages:
        there = os.path.join(there, "README.md")
    if there in pages:
        to = address(there)
    else:
        extra.add(there)
        to = there
    to = os.path.relpath(to, os.path.dirname(address(document)) or ".")
    return f'{attribute}="{html.escape(to + ("#" + part if part else ""))}"'


def menu(document):
    here = os.path.dirname(address(document)) or "."
    links = (f'<a href="{os.path.relpath(address(to), here)}"{" aria-current=page" if to == document else ""}>{words}</a>'
             for to, words in MENU if os.path.exists(os.path.join(ROOT, to)))
    return "<nav>" + "\n".join(links) + "</nav>"


def render(document, pages, extra):
    body = subprocess.run(["cmark-gfm", "--unsafe", "-e", "table", os.path.join(ROOT, document)], check=True,
                          capture_output=True, text=True).stdout
    heads = re.compile(r"<h([1-6])>(.*?)</h\1>", re.S)
    title = heads.search(body)
    body = heads.sub(lambda h: f'<h{h.group(1)} id="{anchor(h.group(2))}">{h.group(2)}</h{h.group(1)}>', body)
    body = re.sub(r'(href|src)="([^"]*)"', lambda found: relink(found, document, pages, extra), body)
    body = body.replace("<table>", '<div class="wide"><table>').replace("</table>", "</table></div>")
    name = re.sub(r"<[^>]*>", "", title.group(2)) if title else document
    return (f'<!doctype html>\n<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">\n'
            f"<title>{name}</title>\n<style>{STYLE}</style>\n{menu(document)}\n<main>\n{body}</main></html>\n")


def dead_links(folder):
    """Every href and src of every page: the file is there, and so is the heading."""
    dead = []
    pages = [os.path.join(at, f) for at, _, files in os.walk(folder) for f in files if f.endswith(".html")]
    text = {page: open(page, encoding="utf-8").read() for page in pages}
    for page in pages:
        for target in re.findall(r'(?:href|src)="([^"]*)"', text[page]):
            if re.match(r"[a-z]+:", target):
                continue
            path, _, part = html.unescape(target).partition("#")
            there = os.path.normpath(os.path.join(os.path.dirname(page), path)) if path else page
            if not os.path.exists(there) or (part and there in text and f'id="{part}"' not in text[there]):
                dead.append(f"{os.path.relpath(page, folder)}: {target}")
    return dead


def main():
    folder, pages, extra = sys.argv[1], documents(), set()
    for document in pages:
        there = os.path.join(folder, address(document))
        os.makedirs(os.path.dirname(there) or ".", exist_ok=True)
        with open(there, "w", encoding="utf-8") as stream:
            stream.write(render(document, pages, extra))
    for file in sorted(extra):
        source, there = os.path.join(ROOT, file), os.path.join(folder, file)
        if os.path.isfile(source):
            os.makedirs(os.path.dirname(there) or ".", exist_ok=True)
            shutil.copy(source, there)
        elif os.path.isdir(source):
            os.makedirs(there, exist_ok=True)
    dead = dead_links(folder)
    print(f"{len(pages)} pages, {len(extra)} files, {len(dead)} links that lead nowhere: {os.path.join(folder, 'index.html')}")
    print("\n".join(dead))
    return 1 if dead else 0


sys.exit(main())
