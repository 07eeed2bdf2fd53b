#!/usr/bin/env python3
"""No file of a room uses one that uses it: each room's files can be read in one order.

Usage: cycles.py SOURCE_FOLDER [-v]. A source uses another of its folder when it calls or reads what the other defines for
all; what a source shares with its own header counts as the source's."""
import collections
import pathlib
import re
import sys

DEFINED = re.compile(r"^(?!static\b|typedef\b|return\b|else\b|#)(?:[A-Za-z_][\w *]*?[ *])(\w+)(?:\(|(?:\[[^\]]*\])*\s*=)", re.M)


def without_comments(text):
    return re.sub(r'/\*.*?\*/|//[^\n]*|"(?:[^"\\\n]|\\.)*"', " ", text, flags=re.S)


def uses(folder):
    """file -> files of the folder that it uses."""
    text = {p.stem: without_comments(p.read_text(encoding="utf-8")) for p in sorted(folder.glob("*.c"))}
    owner = {}
    for stem, body in text.items():
        for name in DEFINED.findall(body):
            owner[name] = stem
    words = {stem: set(re.findall(r"\b\w+\b", body)) for stem, body in text.items()}
    static = {stem: set(re.findall(r"^static [\w *]*?\b(\w+)(?=\s*[\[(=;])", body, re.M)) for stem, body in text.items()}
    return {stem: {owner[n] for n in words[stem] if n in owner and n not in static[stem]} - {stem} for stem in text}


def groups(graph):
    """Files that reach one another (Tarjan 1972), those of more than one file."""
    index, low, stack, on, out = {}, {}, [], set(), []

    def visit(v):
        index[v] = low[v] = len(index)
        stack.append(v)
        on.add(v)
        for w in graph[v]:
            if w not in index:
                visit(w)
                low[v] = min(low[v], low[w])
            elif w in on:
                low[v] = min(low[v], index[w])
        if low[v] == index[v]:
            group = []
            while not group or group[-1] != v:
                group.append(stack.pop())
                on.discard(group[-1])
            if len(group) > 1:
                out.append(sorted(group))

    for v in graph:
        if v not in index:
            visit(v)
    return out


def main(source):
    wrong, files = 0, 0
    for folder in [source, *sorted(p for p in source.rglob("*") if p.is_dir())]:
        graph = uses(folder)
        files += len(graph)
        for group in groups(graph):
            wrong += 1
            print(f"{folder.relative_to(source)}: {' '.join(group)} use one another")
            for v in group:
                print(f"    {v} uses {' '.join(sorted(graph[v] & set(group)))}")
    print(f"{files} files, {wrong} cycles")
    return 1 if wrong or files < 300 else 0


if __name__ == "__main__":
    sys.setrecursionlimit(10000)
    sys.exit(main(pathlib.Path(sys.argv[1])))
