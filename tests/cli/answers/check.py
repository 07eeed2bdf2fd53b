"""check.py SCHEMAS ANSWERS: each answer against the schema of its name, closed, so that a key that no page describes is a
fault; every schema has an answer here, and most of its keys occur in one (python3-jsonschema, JSON Schema 2020-12)."""
import json
import os
import sys

import jsonschema


def closed(schema):
    if isinstance(schema, dict):
        if "properties" in schema:
            schema.setdefault("additionalProperties", False)
        for inner in schema.values():
            closed(inner)
    elif isinstance(schema, list):
        for inner in schema:
            closed(inner)
    return schema


def undescribed(schema, path=""):
    """Keys without a word about them."""
    for key, inner in schema.get("properties", {}).items():
        if not inner.get("description") and not inner.get("enum"):
            yield f"{path}.{key}"
        yield from undescribed(inner, f"{path}.{key}")
    if isinstance(schema.get("items"), dict):
        yield from undescribed(schema["items"], path + "[]")


def answers(path):
    """One JSON text after another."""
    decoder, text, at = json.JSONDecoder(), open(path, encoding="utf-8").read().strip(), 0
    while at < len(text):
        value, at = decoder.raw_decode(text, at)
        yield value
        while at < len(text) and text[at].isspace():
            at += 1


wrong = []
for file in sorted(os.listdir(sys.argv[1])):
    name = file[:-5]
    schema = json.load(open(os.path.join(sys.argv[1], file), encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    wrong += [f"{name}: {key} is not described" for key in undescribed(schema)]
    judge, count = jsonschema.Draft202012Validator(closed(schema)), 0
    for answer in answers(os.path.join(sys.argv[2], name)):
        count += 1
        wrong += [f"{name}: {list(e.absolute_path)}: {e.message[:160]}" for e in judge.iter_errors(answer)]
    if not count:
        wrong.append(f"{name}: no answer was given")
    # It judges: an answer with another key, and one that lacks a key, are refused.
    first = next(answers(os.path.join(sys.argv[2], name)))
    if judge.is_valid({**first, "another": 1}) or judge.is_valid({k: v for k, v in list(first.items())[1:]}):
        wrong.append(f"{name}: the schema refuses nothing")
print("\n".join(wrong))
sys.exit(1 if wrong else 0)
