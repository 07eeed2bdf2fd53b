#!/bin/sh
# docs/plan.schema.json and the program agree: the demo's plans and the example of docs/plan.md are valid for
# both, and what the schema refuses the program refuses too (python3-jsonschema, JSON Schema 2020-12).
. "$(dirname "$0")/lib"
sed -n '/^```json$/,/^```$/p' "$SOURCE/docs/plan.md" | sed '1d;$d' >example.json
cat >validate.py <<'PYTHON'
import json, sys
import jsonschema
schema = json.load(open(sys.argv[1]))
jsonschema.Draft202012Validator.check_schema(schema)
errors = [e.message for f in sys.argv[2:] for e in jsonschema.Draft202012Validator(schema).iter_errors(json.load(open(f)))]
print("\n".join(errors))
sys.exit(1 if errors else 0)
PYTHON
expect 0 -- /usr/bin/python3 validate.py "$SOURCE/docs/plan.schema.json" "$demo/plan.json" "$demo/plan-venn.json" example.json
expect 0 -- "$BACKCLOTH" plan check example.json
head='{"backcloth":1,"title":"T","stand":{"width":300,"wall_height":240}'
for wrong_part in ',"colour":"red"' ',"pieces":[{"id":"a","width":-1,"height":2}]' ',"pieces":[{"id":"a","width":1}]' \
  ',"pieces":[{"id":"a","width":1,"height":2,"mount":{"kind":"glue"}}]' ',"rods":[{"supports":[5]}]' \
  ',"viewers":{"stature":9}' ',"pieces":[{"id":"a","width":1,"height":2,"at":[1,2,3]}]'; do
  printf '%s%s}' "$head" "$wrong_part" >bad.json
  expect 1 -- /usr/bin/python3 validate.py "$SOURCE/docs/plan.schema.json" bad.json
  expect 65 bad.json -- "$BACKCLOTH" plan check bad.json
done
done_testing
