#!/bin/sh
# Feedback for makers: a sheet each, a broken photo and a broken plan that cost only themselves, the index sorted by
# need, a second run that does only what changed, one JSON line per maker.
. "$(dirname "$0")/lib"
mkdir -p makers/quarrow makers/venn/photos makers/lindqvist makers/empty
cp "$demo/photos/jar.jpg" "$demo/photos/vase.jpg" "$demo/photos/moon-jar.jpg" makers/quarrow
head -c 3000 "$demo/photos/bowl.jpg" >makers/quarrow/broken.jpg
printf 'Ilse asked whether <baskets> can hang.\n' >makers/quarrow/notes.txt
cp "$demo/plan-venn.json" makers/venn/plan.json
for piece in pendant cuff brooch earrings ring; do cp "$demo/photos/$piece.jpg" makers/venn/photos; done
cp "$demo/photos/scarf-rings.jpg" makers/lindqvist
echo '{' >makers/lindqvist/plan.json

expect 65 'broken.jpg' -- "$BACKCLOTH" feedback makers/* -o out --cloths "$demo/cloths.json" --json
cp out.txt first.txt
python3 - <<'PYTHON' || fail "the lines"
import json
makers = [json.loads(line) for line in open("first.txt")]
assert [m["maker"] for m in makers] == ["empty", "lindqvist", "quarrow", "venn"], [m["maker"] for m in makers]
for m in makers:
    for section in m["sections"]:
        for line in section["lines"]:
            assert line["figures"] or section["part"] == "notes", line
empty, lindqvist, quarrow, venn = makers
assert empty["pieces"] == 0 and empty["need"] == 100
assert lindqvist["plan_failed"] and lindqvist["pieces"] == 1
assert quarrow["photos"] == 4 and quarrow["pieces"] == 3 and quarrow["not_read"] == 1
tried = [len(s["lines"]) for m in makers[1:] for s in m["sections"] if s["part"] == "try"]
assert all(1 <= n <= 3 for n in tried), tried
assert any(s["part"] == "hanging" and s["lines"] for s in venn["sections"])
# One advice: cloths are told by falling score, never below the wall's own; and a wall that is praised beside a cloth with
# better counts says why.
for m in makers[1:]:
    figures = [{f["what"]: f["value"] for f in line["figures"]} for s in m["sections"] if s["part"] == "try" for line in s["lines"]]
    scores = [f["score"] for f in figures if "score" in f and "score_of_other" not in f]
    assert all(a >= b - 0.5 for a, b in zip(scores, scores[1:])), (m["maker"], scores)
    assert all(s >= m["now"]["score"] - 1e-6 for s in scores), (m["maker"], scores, m["now"])
    for f in figures:
        if f.get("stand_out_on_next", 0) > f.get("stand_out", 0):
            assert any("score_of_other" in g for g in figures), (m["maker"], figures)
PYTHON
for maker in empty lindqvist quarrow venn; do
  pdfinfo "out/$maker/feedback.pdf" | grep -q '^Tagged: *yes' || fail "$maker has no tagged PDF"
  grep -q '</html>' "out/$maker/feedback.html" || fail "$maker has no page"
done
python3 - <<'PYTHON' || fail "the index page's pictures"
import json, re, struct
page = open("out/index.html").read()
pictures = {m["maker"]: m["picture"] for m in map(json.loads, open("first.txt"))}
assert pictures["empty"] is None and not re.search(r'src="empty/', page)
for maker in ("lindqvist", "quarrow", "venn"):
    p = pictures[maker]
    assert p["width"] <= 480 and p["shows"], p
    tag = re.search(r'<img [^>]*src="%s/picture.jpg"[^>]*>' % maker, page).group(0)
    assert 'loading="lazy"' in tag and re.search('alt="[^"]+"', tag) and 'width="%d" height="%d"' % (p["width"], p["height"]) in tag, tag
    data = open("out/%s/picture.jpg" % maker, "rb").read()
    assert data[:2] == b"\xff\xd8" and data[-2:] == b"\xff\xd9" and len(data) < 60000
    at = 2  # ITU-T T.81, B.2.2: the frame header holds lines and samples a line
    while data[at + 1] not in (0xC0, 0xC1, 0xC2): at += 2 + struct.unpack(">H", data[at + 2:at + 4])[0]
    assert struct.unpack(">HH", data[at + 5:at + 9]) == (p["height"], p["width"])
PYTHON
! grep -qE 'src="(http|[^d])|href="http|<script' out/*/feedback.html || fail "a page needs something else"
grep -q '&lt;baskets&gt;' out/quarrow/feedback.html || fail "notes are not quoted"
python3 - <<'PYTHON' || fail "the CSV"
import csv
rows = list(csv.DictReader(open("out/makers.csv", newline="")))
needs = [float(r["need"]) for r in rows]
assert len(rows) == 4 and needs == sorted(needs, reverse=True) and rows[0]["maker"] == "empty", rows
PYTHON

# Nothing changed: nothing is made, and what is told is the same.
touch -d '2001-01-01' out/venn/feedback.html out/quarrow/feedback.html
expect 65 'broken.jpg' -- "$BACKCLOTH" feedback makers/* -o out --cloths "$demo/cloths.json" --json
cmp -s out.txt first.txt || fail "a second run tells something else"
[ out/venn/feedback.html -ot first.txt ] || fail "an unchanged sheet was made again"
# One photo more: only its maker is made again, and only that photo read.
cp "$demo/photos/bottle.jpg" makers/quarrow
expect 65 'broken.jpg' -- "$BACKCLOTH" feedback makers/* -o out --cloths "$demo/cloths.json"
grep -q '^1 sheet made, 3 unchanged' out.txt || fail "not only the changed maker: $(cat out.txt)"
grep -q ': 1 read now' out.txt || fail "not only the new photo: $(cat out.txt)"
[ out/venn/feedback.html -ot first.txt ] || fail "an unchanged sheet was made again"

# A lost picture is made again; a plan whose cloth has a torn photo is judged on the bare wall, and says so.
rm out/venn/picture.jpg
expect 65 -- "$BACKCLOTH" feedback makers/venn makers/lindqvist -o out --cloths "$demo/cloths.json"
[ -s out/venn/picture.jpg ] || fail "a lost picture was not made again"
head -c 2000 "$demo/cloths/twill.jpg" >makers/venn/twill.jpg
sed 's/"colour": "#1d2433"/"photo": "twill.jpg"/' "$demo/plan-venn.json" >makers/venn/plan.json
expect 65 'twill.jpg' -- "$BACKCLOTH" feedback makers/venn -o torn --cloths "$demo/cloths.json" --json
python3 - <<'PYTHON' || fail "a torn cloth"
import json
venn = json.loads(open("out.txt").readline())
assert not venn["plan_failed"] and venn["pieces"] == 5 and venn["picture"], venn
assert "wall" in venn["now"]["cloth"] and any(s["part"] == "wall" for s in venn["sections"])
PYTHON

# Names of colours of several bytes a letter are longer than there is room for; they stay UTF-8, which JSON asks for.
mkdir -p long/maker && cp "$demo/photos/banner.jpg" "$demo/photos/scarf-rings.jpg" long/maker
for language in ar hi; do
  expect 0 -- "$BACKCLOTH" feedback long/maker -o "long-$language" --cloths "$demo/cloths.json" --language "$language"
done

# Readings are kept in the store, wherever the sheets go; in another, if it is named; and nowhere, if nothing is to be
# kept. Nobody can tell from the sheets.
expect 65 ': 0 read now' -- "$BACKCLOTH" feedback makers/lindqvist makers/quarrow -o again --cloths "$demo/cloths.json"
mkdir few && cp "$demo/photos/jar.jpg" "$demo/photos/vase.jpg" makers/quarrow/broken.jpg few
expect 65 -- "$BACKCLOTH" feedback few -o kept --cloths "$demo/cloths.json" --json
cp out.txt kept.txt
expect 65 -- "$BACKCLOTH" feedback few -o none --cloths "$demo/cloths.json" --no-store --json
cmp -s out.txt kept.txt || fail "without a store another tale is told"
expect 65 ': 2 read now' -- "$BACKCLOTH" feedback few -o named --cloths "$demo/cloths.json" --cache readings
expect 65 ': 0 read now' -- "$BACKCLOTH" feedback few -o twice --cloths "$demo/cloths.json" --cache readings
for file in index.html makers.csv few/feedback.pdf few/feedback.html few/picture.jpg; do
  for other in none named twice; do
    cmp -s "kept/$file" "$other/$file" || fail "$file of $other differs from what the store gives"
  done
done
[ "$(ls -A none | sort | tr '\n' ' ')" = "$(ls -A kept | sort | tr '\n' ' ')" ] || fail "left behind: $(ls -A none)"
: >old.sqlite
expect 64 '--cache names a folder' -- "$BACKCLOTH" feedback few -o named --cache old.sqlite

expect 64 'where the sheets go' -- "$BACKCLOTH" feedback makers/venn
expect 64 'no catalogue' -- "$BACKCLOTH" feedback makers/venn -o no --language xq
expect 66 'no such folder' -- "$BACKCLOTH" feedback makers/nobody makers/lindqvist -o out2
[ -s out2/lindqvist/feedback.pdf ] || fail "one missing folder stopped the others"

done_testing
