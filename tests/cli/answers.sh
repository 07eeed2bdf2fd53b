#!/bin/sh
# Every JSON answer is what its schema in docs/schemas says, key by key; the pages in docs/answers are made from the
# schemas as they are; and the documents become a site without a link that leads nowhere.
. "$(dirname "$0")/lib"
for photo in ring bowl scarf-stripe amber-bottle earrings; do
  convert "$demo/photos/$photo.jpg" -resize 500x500 $photo.jpg || fail "no small photos"
done
: >wanted
mkdir -p answers makers/one makers/two
cp ring.jpg bowl.jpg makers/one
sed "s#photos/#$demo/photos/#" "$demo/plan-venn.json" >makers/two/plan.json
cp earrings.jpg makers/two
# give NAME CODE… -- COMMAND…: its answer is one of NAME.
give() {
  name=$1 codes=$2
  shift 3
  "$@" >>"answers/$name" 2>out.err </dev/null
  got=$?
  checks=$((checks + 1))
  case " $codes " in *" $got "*) ;; *) fail "exit $got: $* -- $(head -c 300 out.err)" ;; esac
}
unheld() { sed 's/"rated_kg": *[0-9.]*, *//g; s/, *"rated_kg": *[0-9.]*//g; s/"weight_g": *[0-9.]*,//' "$demo/plan.json" >"$1"; }
unheld "$folder/unknown.json"
sed -i "s#\"photo\": *\"#&$demo/#" unknown.json
cat >frame.json <<'END'
{"backcloth":1,"title":"T","stand":{"width":300,"wall_height":240},"frame":{"base_depth":60,"weight_g":9000},
"grids":[{"id":"g","x":60,"y":30,"width":80,"height":180}],"pieces":[{"id":"a","width":300,"height":200,"weight_g":90000,
"at":[150,150],"mount":{"kind":"hook","rated_kg":1}},{"id":"b","width":290,"height":230,"weight_g":400,"mount":{"kind":"hook"}}]}
END
give read '0' -- "$BACKCLOTH" read --json ring.jpg bowl.jpg scarf-stripe.jpg amber-bottle.jpg
give read '0' -- "$BACKCLOTH" read --json --split earrings.jpg
give read '0' -- sh -c '"$1" read --json - <ring.jpg' - "$BACKCLOTH"
give stored '0' -- "$BACKCLOTH" read --stored ring.jpg scarf-stripe.jpg
give match '0' -- "$BACKCLOTH" match --json --plan "$demo/plan.json" --cloths "$demo/cloths.json" --table-cloth black --suggest 2 \
  --lights --why 'Cream linen'
give match '0' -- "$BACKCLOTH" match --json ring.jpg amber-bottle.jpg bowl.jpg --cloth '#8d867d' --why best --see-through amber-bottle.jpg=40
give match '0' -- "$BACKCLOTH" match --json ring.jpg --cloth black --light A
give look '0' -- "$BACKCLOTH" look --json "$demo/stand.jpg" --wall-width 300 --cloth '#22432f'
give look '0' -- "$BACKCLOTH" look --json "$demo/stand.jpg" --wall-width 300 --box 900,600,200,200
give look-guess '65' -- "$BACKCLOTH" look --json ring.jpg --wall-width 300
for plan in "$demo/plan.json" "$demo/plan-venn.json" unknown.json frame.json; do
  give plan-check '0 1' -- "$BACKCLOTH" plan check --json "$plan"
  give arrange '0 1' -- "$BACKCLOTH" arrange --json --no-store "$plan"
  give arrange-groups '0' -- "$BACKCLOTH" arrange --groups --json "$plan"
  give elevation '0' -- "$BACKCLOTH" elevation --json "$plan"
  give loads '0 1' -- "$BACKCLOTH" loads --json "$plan"
  give packing '0 1' -- "$BACKCLOTH" packing --json "$plan"
done
give plan-change '0' -- "$BACKCLOTH" plan sold --json cuff "$demo/plan-venn.json"
give plan-change '0' -- "$BACKCLOTH" plan add --json brooch "$demo/plan-venn.json"
give feedback '0' -- "$BACKCLOTH" feedback makers/one makers/two -o sheets --json
cp "$demo/cloths.json" answers/cloths
/usr/bin/python3 "$SOURCE/tests/cli/answers/check.py" "$SOURCE/docs/schemas" answers >said.txt 2>&1 || fail "$(head -30 said.txt)"

# --- the pages are what the schemas say today ---
python3 "$SOURCE/docs/site/answers.py" made || fail "no pages"
diff -r made "$SOURCE/docs/answers" || fail "docs/answers is out of date: python3 docs/site/answers.py"

# --- the site ---
python3 "$SOURCE/docs/site/site.py" site >said.txt || fail "$(cat said.txt)"
for page in index.html docs/plan.html docs/answers/match.html docs/evening.html docs/pictures/board.png docs/schemas/loads.json; do
  [ -s "site/$page" ] || fail "the site lacks $page"
done
# …and what checks it finds a dead link, to a file and to a heading.
mkdir -p copy/docs copy/assets/demo && cp -r "$SOURCE/docs/site" copy/docs && cp "$SOURCE/DEVELOPERS.md" copy
echo '[a](b.md)' >copy/assets/demo/README.md
printf '# One\n[two](#three)\n' >copy/README.md
python3 copy/docs/site/site.py other >said.txt && fail "a dead link was not found"
grep -q '^index.html: #three' said.txt && grep -q 'demo/index.html: b.md' said.txt || fail "$(cat said.txt)"
done_testing
