#!/bin/sh
# Every catalogue is complete as the sentences stand today, keeps what a sentence is filled with, and is
# what the program speaks.
. "$(dirname "$0")/lib"

sh "$SOURCE/assets/locale/update" "$folder/today.pot" 2>said.txt || fail "sentences cannot be gathered: $(cat said.txt)"
[ ! -s said.txt ] || fail "gathering says: $(cat said.txt)"
msgen --lang=en --output-file=today.po today.pot
msgfmt --output-file=today.mo today.po
"$BACKCLOTH" --help >english.txt
commands=$(sed -n 's/^  \([a-z]*\)  .*/\1/p' english.txt)
[ "$(echo "$commands" | wc -w)" -ge 8 ] || fail "commands in the help: $commands"
for command in $commands; do
  "$BACKCLOTH" "$command" --help >"$command.english"
done

found=0
for catalogue in "$SOURCE"/assets/locale/*.po; do
  [ -f "$catalogue" ] || continue
  language=$(basename "$catalogue" .po)
  found=$((found + 1))
  LANGUAGE=en expect 0 -- msgfmt --check --statistics --output-file="$language.mo" "$catalogue"
  ! grep -qE 'fuzzy|untranslated' out.err || fail "$language: $(cat out.err)"

  # Same sentences as today's, none missing and none left over; the same placeholders in each.
  python3 - today.mo "$language.mo" <<'PYTHON' || fail "$language: sentences or placeholders"
import re, struct, sys

def catalogue(path):
    """A .mo file as the gettext manual describes it ("The Format of GNU MO Files")."""
    data = open(path, "rb").read()
    magic, _, count, ids, texts = struct.unpack_from("<5I", data)
    assert magic == 0x950412DE, path
    def text(table, i):
        size, at = struct.unpack_from("<2I", data, table + 8 * i)
        return data[at:at + size].decode("utf-8").split("\0")
    return {tuple(text(ids, i)): text(texts, i) for i in range(count) if text(ids, i) != [""]}

def placeholders(sentence):
    """Which argument is shown how: {(1, 's'), (2, '.1f')}; an argument without a number is the next."""
    found, nth = set(), 0
    for number, how in re.findall(r"%(\d+\$)?([-+0#]*\d*(?:\.\d+)?(?:hh|ll|[hlzjt])?[a-zA-Z]|%)", sentence):
        if how != "%":
            nth += 1
            found.add((int(number[:-1]) if number else nth, how))
    return found

today, translated = (catalogue(path) for path in sys.argv[1:3])
wrong = [f"missing: {i}" for i in today.keys() - translated.keys()]
wrong += [f"left over: {i}" for i in translated.keys() - today.keys()]
for ids, texts in translated.items():
    for text in texts:
        has = placeholders(text)
        lost, new = placeholders(ids[-1]) - has, has - placeholders(ids[-1])
        # "One piece" may say the number in a word: then the count alone is left out.
        count_left_out = len(ids) == 2 and not new and len(lost) == 1 and next(iter(lost))[1][-1] in "dui"
        if (lost or new) and not count_left_out:
            wrong.append(f"placeholders: {ids} => {text!r}")
        if text[:1].isspace() != ids[0][:1].isspace() or text[-1:].isspace() != ids[0][-1:].isspace():
            wrong.append(f"space or line end: {ids} => {text!r}")
for one in wrong[:20]:
    print(one)
sys.exit(bool(wrong) or len(today) < 500)
PYTHON
  checks=$((checks + 1))

  # The program speaks it: no summary and no option's help is left in English.
  LANGUAGE=$language "$BACKCLOTH" --help >spoken.txt
  ! cmp -s english.txt spoken.txt || fail "$language: the help is English"
  sed -n 's/^  [a-z]*  *//p' english.txt >summaries.txt
  ! grep -F -f summaries.txt spoken.txt || fail "$language: summaries in English"
  for command in $commands; do
    grep '^  -' "$command.english" | cut -c 30- >options.txt # the help starts in one column
    [ -s options.txt ] || fail "no options in the help of $command"
    LANGUAGE=$language "$BACKCLOTH" "$command" --help >spoken.txt
    ! grep -F -f options.txt spoken.txt || fail "$language: $command --help is English here"
  done
done
[ "$found" -gt 0 ] || fail "no catalogue was found"
done_testing
