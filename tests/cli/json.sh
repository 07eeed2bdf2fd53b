#!/bin/sh
# Machine output: on standard output and nothing else there, with the contract's keys, the same
# figures by file and by standard input, and the same bytes every time.
. "$(dirname "$0")/lib"

set -- "$demo"/photos/*.jpg
expect 0 -- "$BACKCLOTH" read --json "$@"
cp out.txt first.txt
[ "$(wc -l <out.txt)" = "$#" ] || fail "one line per photo: $(wc -l <out.txt) for $#"
expect 0 -- "$BACKCLOTH" read --json "$@"
cmp -s out.txt first.txt || fail "two runs differ"

"$BACKCLOTH" read --json - <"$1" >piped.txt 2>piped.err || fail "a photo on standard input: $(cat piped.err)"
"$BACKCLOTH" read --json "$1" >named.txt
python3 - piped.txt named.txt first.txt <<'PYTHON' || fail "reading JSON"
import json, sys
piped, named = (json.load(open(f)) for f in sys.argv[1:3])
assert piped["piece"] == named["piece"], "by name and by standard input"
for line in open(sys.argv[3]):
    r = json.loads(line)
    assert set(r) >= {"photo", "pixels", "profile", "piece", "notes"}, r.keys()
    p = r["piece"]
    assert set(p) >= {"box", "area_share", "lab", "luminance", "lightness", "colours"}, p.keys()
    assert set(p["lightness"]) >= {"p05", "p50", "p95"}
    x, y, w, h = p["box"]
    assert 0 <= x and 0 <= y and x + w <= r["pixels"][0] and y + h <= r["pixels"][1], (r["photo"], p["box"])
    assert 0 < p["area_share"] <= 1 and 0 <= p["luminance"] <= 1.02
    assert p["lightness"]["p05"] <= p["lightness"]["p50"] <= p["lightness"]["p95"]
    for c in p["colours"]:
        assert set(c) >= {"lab", "css", "share", "name"} and len(c["lab"]) == 3
    assert sum(c["share"] for c in p["colours"]) <= 1.001
    d = p["doubts"]
    for s in d["stretches"]:
        x, y, w, h = s["box"]
        assert 0 < s["share"] <= 1 and 1 <= len(s["dots"]) <= 24, s
        assert all(x <= u < x + w and y <= v < y + h for u, v in s["dots"]), (r["photo"], s)
    if "tap" in d:
        u, v = d["tap"]["at"]
        assert 0 <= u < r["pixels"][0] and 0 <= v < r["pixels"][1] and d["tap"]["share"] > 0, d["tap"]
        assert d["tap"]["now_piece"] in (True, False)
PYTHON

expect 0 -- "$BACKCLOTH" match --json "$@" --cloths "$demo/cloths.json" --cloth 'lab(30% 10 -20)' --cloth '#fff'
python3 - out.txt "$#" <<'PYTHON' || fail "match JSON"
import json, sys
m = json.load(open(sys.argv[1])); n = int(sys.argv[2])
assert m["light"] == "D50" and len(m["cloths"]) >= 10
ranks = [c["rank"] for c in m["cloths"]]
assert ranks == sorted(ranks) and ranks[0] == 1
for c in m["cloths"]:
    assert set(c) >= {"cloth", "name", "lab", "luminance", "rank", "score", "pieces"}
    assert len(c["pieces"]) == n
    for p in c["pieces"]:
        assert p["verdict"] in ("stands out", "soft", "gets lost")
        assert 1 <= p["contrast_ratio"] <= 21 and 0 <= p["outline_share"] <= 1 and p["delta_l"] >= 0
lab = [c for c in m["cloths"] if c["cloth"].startswith("lab(")][0]["lab"]
assert max(abs(a - b) for a, b in zip(lab, (30, 10, -20))) < 1e-6, lab  # a bare CSS lab() is D50 as it stands
PYTHON

expect 0 -- "$BACKCLOTH" loads --json "$demo/plan.json"
python3 - out.txt <<'PYTHON' || fail "loads JSON"
import json, sys
l = json.load(open(sys.argv[1]))
assert set(l) >= {"design_factor", "total_kg", "points", "rods", "cautions"}
assert l["total_kg"] > 0 and l["points"] and l["cautions"]
for p in l["points"]:
    assert set(p) >= {"piece", "point", "x", "y", "vertical_n", "horizontal_n", "tension_n", "rated_n", "utilisation", "ok"}
for r in l["rods"]:
    assert set(r) >= {"id", "reaction_left_n", "reaction_right_n", "max_moment_nm", "max_deflection_mm", "ok"}
PYTHON
done_testing
