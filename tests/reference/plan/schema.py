# SPDX-License-Identifier: MIT
"""docs/plan.schema.json and the program accept the same plans. Plans are made at random from the schema, and spoilt at
random; python3-jsonschema (JSON Schema 2020-12) judges by the schema, plan_judge by the program. What no schema can
say is written here a second time, from docs/plan.md ("What depends on more than one value"), so that all three have to
agree: accepted by the program = valid by the schema and by these rules.

usage: schema.py PLAN_SCHEMA PLAN_JUDGE docs/plan.schema.json PLANS [SEED]"""
import copy, fractions, json, random, re, subprocess, sys
import jsonschema

PRINTER, JUDGE, FILE, PLANS = sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4])
chance = random.Random(int(sys.argv[5]) if len(sys.argv) > 5 else 5)
made = subprocess.run([PRINTER], capture_output=True, text=True, check=True).stdout


def without_words(schema):
    """A sentence that is put better is no other schema."""
    if isinstance(schema, dict):
        return {k: without_words(v) for k, v in schema.items() if k != "description" or isinstance(v, dict)}
    return [without_words(v) for v in schema] if isinstance(schema, list) else schema


if without_words(json.loads(made)) != without_words(json.load(open(FILE, encoding="utf-8"))):
    sys.exit(f"{FILE} is not what the tables of keys say. Write it anew: {PRINTER} >{FILE}")
SCHEMA = json.loads(made)
jsonschema.Draft202012Validator.check_schema(SCHEMA)
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

# --- what is in a text: international yard and pound (1959) -----------------------------------------------
INCH, OUNCE = fractions.Fraction("2.54"), fractions.Fraction("28.349523125")
UNITS = {"mm": ("l", "0.1"), "cm": ("l", 1), "m": ("l", 100), "in": ("l", INCH), "ft": ("l", 12 * INCH), "yd": ("l", 36 * INCH),
         "g": ("m", 1), "kg": ("m", 1000), "oz": ("m", OUNCE), "lb": ("m", 16 * OUNCE),
         "g/m2": ("s", 1), "oz/yd2": ("s", OUNCE / (fractions.Fraction("8361.2736") / 10000))}


def figure(value):
    return fractions.Fraction(repr(value)) if isinstance(value, float) else fractions.Fraction(value)


def text_amount(text):
    """cm, g or g/m2 of a text that the schema's pattern lets pass; only the spellings that this test writes."""
    total, sign = fractions.Fraction(0), -1 if "-" in text else 1
    for whole, under, above, below, unit in re.findall(r"([0-9.]+)(?:/([0-9]+))?(?: +([0-9]+)/([0-9]+))? *([a-z/2]+)", text.lower()):
        part = figure(whole) / int(under or 1) + (fractions.Fraction(int(above), int(below)) if above else 0)
        total += part * figure(UNITS[unit][1])
    return sign * total


# --- the limits of the tables, a second time, from the schema's own plain numbers --------------------------
def definition(schema):
    while "$ref" in schema:
        name = schema["$ref"].split("/")[-1]
        rest = {k: v for k, v in schema.items() if k not in ("$ref", "description")}
        schema = {**SCHEMA["$defs"][name], **rest, "defined": schema.get("defined", name)}
    return schema


def plain_unit(key, imperial):
    """What a plain number under this key is of cm, g or g/m2."""
    if key.endswith("_mm"):
        return fractions.Fraction("0.1")
    if key.endswith("_kg"):
        return fractions.Fraction(1000)
    if key.endswith("_g") or key == "grams_per_m2":
        return fractions.Fraction(1)
    if key in ("rated", "fixing_rated", "tie_rated"):
        return 16 * OUNCE if imperial else fractions.Fraction(1000)
    if key in ("weight", "ballast"):
        return OUNCE if imperial else fractions.Fraction(1)
    return INCH if imperial else fractions.Fraction(1)


def in_bounds(value, bounds, scale):
    near = 1 + fractions.Fraction(1, 10**9)
    low, high = figure(bounds.get("minimum", bounds.get("exclusiveMinimum"))), figure(bounds["maximum"])
    if value > high * scale * near or value < low * scale - abs(low * scale) * (near - 1):
        return False
    return value > 0 if "exclusiveMinimum" in bounds and low == 0 else True


def number_of(schema):
    schema = definition(schema)
    if schema.get("type") == "number":
        return schema
    return next((found for part in schema.get("anyOf", []) if (found := number_of(part))), None)


def texts_fit(plan, schema, imperial, key=""):
    """Sizes written as text are within the bounds of plain numbers."""
    schema = definition(schema)
    if isinstance(plan, dict):
        return all(texts_fit(v, schema.get("properties", {}).get(k, {}), imperial, k) for k, v in plan.items() if k != "notes")
    if isinstance(plan, list):
        return all(texts_fit(v, schema.get("items", {}), imperial, key) for v in plan)
    bounds = number_of(schema)
    if not isinstance(plan, str) or plan == "?" or not bounds:
        return True
    return in_bounds(text_amount(plan), bounds, plain_unit(key, imperial))


# --- what depends on more than one value: docs/plan.md -----------------------------------------------------
class Group:
    def __init__(self, group, imperial):
        self.group, self.imperial = group, imperial

    def __call__(self, key, usual):
        value = self.group.get(key, "?")
        if value == "?":
            return usual if usual is None else figure(usual)
        if isinstance(value, str):
            return text_amount(value) / (plain_unit(key, False))
        return figure(value) * plain_unit(key, self.imperial) / plain_unit(key, False)


NEAR = fractions.Fraction(1, 10**6)
CARRIERS = {"rods": "rod", "tables": "table", "shelves": "shelf", "grids": "grid", "risers": "riser", "posts": "post"}
HANGS = {"nail", "pin", "hook", "cord", "clip"}


def takes(kind, mount):
    if mount == "shelf" or mount == "table":
        return kind == mount or (mount == "table" and kind == "riser")
    return mount in HANGS and (kind in ("rod", "post") or (kind == "grid" and mount not in ("nail", "pin")))


def names_fit(plan):
    carriers = {}
    for listed, kind in CARRIERS.items():
        for i, group in enumerate(plan.get(listed, [])):
            name = group.get("id", f"{kind}-{i + 1}")
            if name in carriers:
                return False
            carriers[name] = kind
    ids = [piece["id"] for piece in plan.get("pieces", [])]
    on = [(p["mount"]["on"], p["mount"].get("kind", "nail")) for p in plan.get("pieces", []) if "on" in p.get("mount", {})]
    return (len(ids) == len(set(ids)) and all(name in carriers and takes(carriers[name], mount) for name, mount in on)
            and carriers.get(plan.get("cloth", {}).get("on"), "rod") == "rod"
            and (plan.get("cloth", {}).get("on") is None or plan["cloth"]["on"] in carriers)
            and all(carriers.get(r["on"]) == "table" for r in plan.get("risers", []) if "on" in r))


def rod_fits(rod, stand):
    x, length = rod("x", 0), rod("length", stand("width", None) or fractions.Fraction("1.00048828125"))
    spots = [Group({"x": spot}, rod.imperial)("x", 0) for spot in rod.group.get("supports", [])]
    outer, wall, breadth = rod("outer_mm", 25) or 25, rod("wall_mm", 0), rod("breadth_mm", 0)
    thinner = breadth if 0 < breadth < outer else outer
    return (all(b - a >= 1 for a, b in zip(spots, spots[1:])) and all(x - NEAR <= s <= x + length + NEAR for s in spots)
            and 2 * wall <= thinner)


def figure_fits(person):
    """Eyes below the top of the head; what is left out follows from the other, ANSUR II and ADA in docs/plan.md."""
    eye, stature, seated = person("eye", None), person("stature", None), person.group.get("wheelchair", False)
    return eye is None or stature is None or eye < stature


def relations_hold(plan):
    imperial = plan.get("units") == "imperial"
    each = lambda name: [Group(g, imperial) for g in plan.get(name, [])]
    stand, viewers, packing = (Group(plan.get(k, {}), imperial) for k in ("stand", "viewers", "packing"))
    frame = Group(plan.get("frame", {}), imperial)
    deep = frame("base_depth", None)
    feet = [frame(k, None) for k in ("front", "ballast_at")]
    return (all(rod_fits(rod, stand) for rod in each("rods"))
            and all(g("mesh", "7.5") <= min(g("width", 60), g("height", 180)) for g in each("grids"))
            and all(c("seat", 45) <= c("height", 85) for c in each("chairs"))
            and viewers("sight_low", 98) < viewers("sight_high", 175)
            and all(figure_fits(Group(f, imperial)) for f in plan.get("viewers", {}).get("figures", []))
            and packing("bag_own_kg", 0) < packing("bag_kg", 23)
            and all(foot is None or foot <= (deep or 0) for foot in feet)
            and names_fit(plan))


# --- plans at random, from the schema ------------------------------------------------------------------------
COLOURS = ["#1f2430", "#FFF", "linen", "rgb(20 30 40)", "hsl(120 50% 40%)", "#ffffffff"]
TEXTS = ["a", "Blue bowl", "élan", "青い皿", "a b", "rod-1", "table-1", "shelf-1", "grid-1", "riser-1", "post-1", "x" * 500]


def some_text(kind, bounds, key, imperial):
    low, high = (float(figure(bounds.get(n, bounds.get("exclusiveMinimum", 0))) * plain_unit(key, imperial)) for n in ("minimum", "maximum"))
    units = {"length_text": ["mm", "cm", "m", "in", "ft", "yd"], "mass_text": ["g", "kg", "oz", "lb"],
             "cloth_weight_text": ["g/m2", "oz/yd2"]}[kind]
    unit = chance.choice(units)
    amount = chance.uniform(low, min(high, max(50.0, 2 * low))) / float(figure(UNITS[unit][1]))
    text = f"{abs(amount) + 0.01:.3f}{chance.choice(['', ' ', '  '])}{unit}"
    if chance.random() < 0.15:
        text = {"length_text": "4 ft 2 1/2 in", "mass_text": "2 lb 3 oz", "cloth_weight_text": text}[kind]
    return chance.choice(["", "", "", "+", " "]) + text


def some(schema, imperial, key="", depth=0):
    schema = definition(schema)
    if "const" in schema:
        return schema["const"]
    if "enum" in schema:
        return chance.choice(schema["enum"])
    if "anyOf" in schema:
        part = definition(chance.choice(schema["anyOf"][:1] * 4 + schema["anyOf"][1:] * 2))
        if part.get("defined", "").endswith("_text"):
            return some_text(part["defined"], number_of(schema), key, imperial)
        return some(part, imperial, key, depth)
    kind = schema.get("type")
    if kind == "object" or "properties" in schema:
        return some_group(schema, imperial, depth)
    if kind == "array":
        most = min(schema.get("maxItems", 2), schema.get("minItems", 0) + 2)
        items = [some(schema["items"], imperial, key, depth) for _ in range(chance.randint(schema.get("minItems", 0), most))]
        return sorted(items, key=lambda v: v if isinstance(v, (int, float)) else 0) if key == "supports" else items
    if kind == "boolean":
        return chance.random() < 0.5
    if kind in ("number", "integer"):
        low = schema.get("minimum", schema.get("exclusiveMinimum", 0))
        high = chance.choice([schema["maximum"], min(schema["maximum"], low + 300)])
        if kind == "integer" and chance.random() < 0.1:
            return float(low)
        value = chance.choice([low if "minimum" in schema else high, high, chance.uniform(low, high)])
        return int(value) if kind == "integer" or (chance.random() < 0.3 and low < int(value) <= high) else value
    return chance.choice(COLOURS if schema.get("defined") == "colour" else TEXTS)


def some_group(schema, imperial, depth):
    group = {}
    for key, part in schema["properties"].items():
        wanted = key in schema.get("required", []) or chance.random() < (0.5 if depth == 0 else 0.3)
        if wanted:
            group[key] = some(part, imperial, key, depth + 1)
    for rule in schema.get("allOf", []):
        if all(k in group for k in rule["not"]["required"]) and chance.random() < 0.97:
            del group[rule["not"]["required"][1]]
    if depth > 0 and "id" in group and chance.random() < 0.9:
        group["id"] = f"{group['id'][:20]} {chance.randint(0, 10**6)}"
    return group


def some_plan():
    imperial = chance.random() < 0.5
    plan = some(SCHEMA["$defs"]["plan in " + ("inches" if imperial else "centimetres")], imperial)
    plan.pop("units", None)
    if imperial:
        plan["units"] = "imperial"
    names = [g.get("id", f"{k}-{i + 1}") for n, k in CARRIERS.items() for i, g in enumerate(plan.get(n, []))]
    for group in [plan.get("cloth", {})] + plan.get("risers", []) + [p.get("mount", {}) for p in plan.get("pieces", [])]:
        if "on" in group and chance.random() < 0.9:
            group.pop("on")
            if names and chance.random() < 0.4:
                group["on"] = chance.choice(names)
    return plan


ODD = [None, True, 0, -1, -0.0, 1.5, 2, 3, 64, 65, 10**5, 1e9, -10**5, "", " ", "?", "5 cm", "5 g", "5 g/m2", "cm", "5", "5 cm 3 m", "5 m 3 cm",
       "5 ft 3 cm", "1/0 in", "1/2 in", "3 1/2 in", ".5 m", "5. m", "-5 cm", "- 5 cm", "5 CM", "5 cmm", "5cm3mm", "5 cm\n", "a\tb", "tab\u007f",
       "5 oz/yd2", "8 lb", "x" * 501, "5" + " " * 50 + "cm", "red", "#12345", "rgb(", [], [1], [1, 2], [1, 2, 3], ["5 cm", 2], [True, 1],
       {}, {"a": 1}, [None], [{}], "nail", "cord", "imperial"]


def places(value, path=()):
    yield path
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from places(inner, path + (key,))


def spoil(plan):
    plan = copy.deepcopy(plan)
    for _ in range(chance.choice([1, 1, 1, 2])):
        path = chance.choice(list(places(plan)))
        inner = plan
        for step in path[:-1]:
            inner = inner[step]
        what = chance.random()
        target = inner[path[-1]] if path else plan
        if what < 0.2 and isinstance(target, dict):
            target[chance.choice(["weight", "weight_g", "colour", "photo", "at", "pinned", "lenght", "rated", "notes", "cord_angles"])] = chance.choice(ODD)
        elif path and what < 0.35:
            del inner[path[-1]]
        elif path:
            inner[path[-1]] = copy.deepcopy(chance.choice(ODD))
    return plan


def colours_fit(plan):
    """The grammar of CSS Color 4 is the program's: the texts of this test that the schema takes and CSS does not."""
    wrong = {"#12345", "rgb(", "x", "a", "b", "nail", "cord", "imperial", "cm", "tab"}
    found = [plan.get("stand", {}).get("wall_colour"), plan.get("cloth", {}).get("colour")]
    return not any(text in wrong or (isinstance(text, str) and text.startswith("xx")) for text in found)


def expected(plan):
    if not VALIDATOR.is_valid(plan):
        return False, "schema"
    if not colours_fit(plan):
        return False, "colour"
    imperial = plan.get("units") == "imperial"
    root = SCHEMA["$defs"]["plan in " + ("inches" if imperial else "centimetres")]
    if not texts_fit(plan, root, imperial):
        return False, "text"
    return (True, "") if relations_hold(plan) else (False, "relation")


def main():
    plans = [some_plan() for _ in range(PLANS)]
    plans += [spoil(chance.choice(plans[:PLANS])) for _ in range(2 * PLANS)]
    lines = "".join(json.dumps(plan) + "\n" for plan in plans)
    said = [json.loads(line) for line in subprocess.run([JUDGE], input=lines, capture_output=True, text=True, check=True).stdout.splitlines()]
    if len(said) != len(plans):
        sys.exit(f"{len(plans)} plans, {len(said)} answers")
    count, differ = {}, 0
    for plan, answer in zip(plans, said):
        fine, why = expected(plan)
        count[why or "accepted"] = count.get(why or "accepted", 0) + 1
        if fine != (answer[0] == "yes"):
            differ += 1
            if differ <= 5:
                errors = [f"{list(e.absolute_path)}: {e.message[:150]}" for e in VALIDATOR.iter_errors(plan)][:2]
                print(f"expected {fine} ({why} {errors}), the program: {answer}\n  {json.dumps(plan)[:1500]}")
    print(f"{len(plans)} plans: {count}; {differ} differ")
    wanted = {"accepted": 15, "schema": 20, "relation": 3}
    thin = [kind for kind, percent in wanted.items() if count.get(kind, 0) * 100 < percent * len(plans)]
    if thin:
        print("too few of the kind:", ", ".join(thin))
    sys.exit(1 if differ or thin else 0)


main()
