#!/usr/bin/env python3
"""Writes docs/answers from docs/schemas: a page a schema, every key with its type and meaning, and a list of the pages.

    python3 docs/site/answers.py [FOLDER]      # FOLDER: where to write instead of docs/answers
"""
import json
import os
import sys

DOCS = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def kinds(schema):
    """'number or null', 'one of: a, b', 'list of 3 numbers'."""
    if "const" in schema:
        return f"`{json.dumps(schema['const'])}`"
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    names = {"string": "text", "boolean": "true or false", "integer": "whole number", "null": "null", "object": "group"}
    if "array" in types:
        items = schema["items"]
        inner = items["type"] if isinstance(items["type"], str) else "/".join(items["type"])
        plural = {"string": "texts", "integer": "whole numbers", "object": "groups", "array": "lists"}.get(inner, inner + "s")
        count = f"{schema['minItems']} " if schema.get("minItems") == schema.get("maxItems") != None else ""  # noqa: E711
        names["array"] = f"list of {count}{plural}"
    words = [names.get(t, t) for t in types]
    if "enum" in schema:
        words = ["one of " + ", ".join(f"`{e}`" for e in schema["enum"] if e is not None)] + (["null"] if None in schema["enum"] else [])
    return " or ".join(words)


def escaped(text):
    """L*a*b* is no emphasis."""
    return text.replace("*", "\\*").replace("|", "\\|")


def rows(schema, path, required=True):
    """A row a key, those inside it after it."""
    if path:
        absent = "" if required else " (may be absent)"
        yield f"| `{path}` | {kinds(schema)}{absent} | {escaped(schema.get('description', ''))} |"
    types = schema.get("type", [])
    if "object" in types:
        for key, inner in schema.get("properties", {}).items():
            yield from rows(inner, f"{path}.{key}" if path else key, key in schema.get("required", []))
    if "array" in types and ({"object", "array"} & set(schema["items"]["type"] if isinstance(schema["items"]["type"], list)
                                                        else [schema["items"]["type"]])):
        items = dict(schema["items"])
        if "object" in items["type"]:
            yield from (row for row in rows(items, path + "[]") if not row.startswith(f"| `{path}[]` "))
        elif "object" in items["items"].get("type", ""):
            yield from rows(items, path + "[]")


def page(name, schema):
    lines = [f"# {schema['title']}", "", schema["description"], "",
             f"The same as a JSON Schema, against which tests check what the program prints: [{name}.json](../schemas/{name}.json). "
             "Keys may be added in later versions; those that are there keep their meaning ([what stays](../stability.md)). "
             "[All answers](README.md).", "", "| key | what it is | meaning |", "| --- | --- | --- |"]
    return "\n".join(lines + list(rows(schema, ""))) + "\n"


def main():
    into = sys.argv[1] if len(sys.argv) > 1 else os.path.join(DOCS, "answers")
    os.makedirs(into, exist_ok=True)
    index = ["# What the program answers to other programs", "",
             "With `--json` each command prints its figures as JSON on standard output, and nothing else there; sentences go to "
             "standard error. Lengths are centimetres and masks, boxes and points are pixels of the upright photo, unless a key "
             "names another unit. These pages are made from the schemas by `python3 docs/site/answers.py`.", "",
             "| page | what it is |", "| --- | --- |"]
    for file in sorted(os.listdir(os.path.join(DOCS, "schemas"))):
        name = file[:-5]
        with open(os.path.join(DOCS, "schemas", file), encoding="utf-8") as stream:
            schema = json.load(stream)
        with open(os.path.join(into, name + ".md"), "w", encoding="utf-8") as stream:
            stream.write(page(name, schema))
        index.append(f"| [{schema['title']}]({name}.md) | {schema['description']} |")
    with open(os.path.join(into, "README.md"), "w", encoding="utf-8") as stream:
        stream.write("\n".join(index) + "\n")


main()
