#!/bin/sh
# The completions in the shells themselves, where they are installed: commands, a command's options, choices, files by kind.
. "$(dirname "$0")/lib"
made=${MANUAL:?where the build put completions}
: >plan.json; : >photo.JPG; : >notes.txt; mkdir cloths

# in_bash WORD…: what is offered for the last word
in_bash() {
  bash --norc -c '. "$0"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _backcloth; printf "%s\n" "${COMPREPLY[@]}"' "$made/bash/backcloth" "$@"
}
in_fish() { # the line
  HOME=$folder fish --no-config -c "source $made/fish/backcloth.fish; complete -C '$1'" 2>/dev/null | cut -f1
}
in_zsh() { # the line: completed in a terminal of its own, with what stands there then
  HOME=$folder zsh -f -c '
    zmodload zsh/zpty
    zpty shell env PS1= TERM=dumb zsh -f -i
    zpty -w shell "stty -echo; fpath=($1 \$fpath); autoload -Uz compinit; compinit -u -D; LISTMAX=1000; setopt auto_list no_beep; bindkey \"^I\" expand-or-complete; say() { print -r -- \"GOT:\$*\"; }; accept() { print -r -- \"=\$BUFFER=\"; BUFFER=; zle accept-line }; zle -N accept; bindkey \"^X\" accept; print READY"
    zpty -r -m shell out "*READY*" || exit 1
    zpty -n -w shell "$2"$'"'\t'"'; sleep 1; zpty -n -w shell $'"'\x18'"'
    zpty -r -m shell out "*=*=*"; print -r -- "$out"; zpty -d shell' zsh "$made/zsh" "$1" 2>/dev/null | tr -d '\r'
}
has() { # NAME WORD in the lines of got
  checks=$((checks + 1))
  grep -qxF -- "$2" got || fail "$1 does not offer '$2' but: $(head -c 200 got)"
}
lacks() {
  ! grep -qxF -- "$2" got || fail "$1 offers '$2'"
}

if command -v bash >/dev/null; then
  in_bash backcloth el >got; has bash elevation; lacks bash match
  in_bash backcloth elevation --pix >got; has bash --pixels-per-cm
  in_bash backcloth elevation --units '' >got; has bash metric; has bash imperial
  in_bash backcloth plan s >got; has bash sold; has bash start; lacks bash check
  in_bash backcloth read '' >got; has bash photo.JPG; has bash cloths; lacks bash plan.json
  in_bash backcloth loads '' >got; has bash plan.json; lacks bash photo.JPG
  in_bash backcloth match --cloths '' >got; has bash plan.json; lacks bash notes.txt
fi
if command -v fish >/dev/null; then
  in_fish 'backcloth el' >got; has fish elevation; lacks fish match
  in_fish 'backcloth elevation --pix' >got; has fish --pixels-per-cm
  in_fish 'backcloth elevation --units ' >got; has fish metric
  in_fish 'backcloth plan s' >got; has fish sold
  in_fish 'backcloth loads ' >got; has fish plan.json # and all other files behind those
fi
if command -v zsh >/dev/null; then
  zsh -n "$made/zsh/_backcloth" || fail "zsh cannot read _backcloth"
  for case in 'backcloth el:elevation' 'backcloth elevation --pix:--pixels-per-cm' 'backcloth plan so:sold' 'backcloth loads pl:plan.json'; do
    in_zsh "${case%%:*}" >got
    checks=$((checks + 1))
    grep -q -- "=backcloth.*${case#*:} *=" got || fail "zsh: ${case%%:*} does not become ${case#*:}: $(tail -c 200 got)"
  done
fi
: >wanted
done_testing
