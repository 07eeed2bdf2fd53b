#!/bin/sh
# bill.sh NAME VERSION SPDX-ID-OF-LICENCE FILE LICENCE.md WHEN OUT: the bill of materials of a linked file, SPDX 2.3 as JSON.
# The list is what the loader is told to bring (readelf) and what the program brings late (its dlopen notes), each with the Debian package that it was
# linked from, where dpkg knows, and the licence that docs/licence.md gives. A library that is not named there is an error.
set -eu
export LC_ALL=C
name=$1 version=$2 own_licence=$3 file=$4 licence=$5 out=$7
when=$(date -u -d "@$6" +%Y-%m-%dT%H:%M:%SZ)
sum=$(sha256sum "$file" | cut -d' ' -f1)

trap 'rm -f "$out.new"' EXIT
exec >"$out.new"

quoted() { printf '%s' "$1" | sed 's/[\\"]/\\&/g'; }

# package NAME ID VERSION LICENCE HOMEPAGE REFERENCE
package() {
  printf '    {"name": "%s", "SPDXID": "SPDXRef-%s", "versionInfo": "%s", "downloadLocation": "%s",\n' \
    "$(quoted "$1")" "$2" "$(quoted "$3")" "${5:-NOASSERTION}"
  printf '     "filesAnalyzed": false, "licenseConcluded": "%s", "licenseDeclared": "%s", "copyrightText": "NOASSERTION"' "$4" "$4"
  [ -z "$6" ] || printf ',\n     "externalRefs": [{"referenceCategory": "PACKAGE-MANAGER", "referenceType": "purl", "referenceLocator": "%s"}]' "$6"
  printf '}'
}

# of_debian FILE-OR-PACKAGE: sets package_version, reference
of_debian() {
  found=
  case $1 in
  /*) found=$(dpkg -S "$1" 2>/dev/null | head -1 | sed 's/:.*//') || found= ;;
  *) found=$1 ;;
  esac
  package_version=$(dpkg-query -W -f '${Version}' "$found" 2>/dev/null | head -1) || package_version=
  reference=
  if [ -n "$found" ] && [ -n "$package_version" ]; then
    reference="pkg:deb/debian/$found@$(printf '%s' "$package_version" | sed 's/+/%2B/g;s/:/%3A/g;s/~/%7E/g')"
  fi
  : "${package_version:=NOASSERTION}"
}

late=$(readelf -p .note.dlopen "$file" 2>/dev/null | sed -n 's/.*"soname":\["\([^"]*\)"\].*/\1/p')
libraries=$({ readelf -dW "$file" | sed -n 's/.*Shared library: \[\(.*\)\].*/\1/p'; printf '%s\n' "$late"; } | sed '/^$/d' | sort)
printf '{\n  "spdxVersion": "SPDX-2.3", "dataLicense": "CC0-1.0", "SPDXID": "SPDXRef-DOCUMENT", "name": "%s-%s",\n' "$name" "$version"
printf '  "documentNamespace": "https://spdx.org/spdxdocs/%s-%s-%s",\n' "$name" "$version" "$sum"
printf '  "creationInfo": {"created": "%s", "creators": ["Tool: backcloth-bill-%s"]},\n' "$when" "$version"
printf '  "documentDescribes": ["SPDXRef-%s"],\n  "packages": [\n' "$name"
package "$name" "$name" "$version" "$own_licence" '' ''
relations=
relate() { relations="$relations,
    {\"spdxElementId\": \"SPDXRef-$1\", \"relationshipType\": \"$2\", \"relatedSpdxElement\": \"SPDXRef-$3\"}"; }
relate DOCUMENT DESCRIBES "$name"
for library in $libraries; do
  case $library in ld-linux* | libasan* | libubsan*) continue ;; esac
  # | `libpng16.so.16` | what it does here | in words | SPDX |
  row=$(grep -F "| \`$library\` |" "$licence" || true)
  spdx=$(printf '%s' "$row" | awk -F'|' '{print $5}' | tr -d '`' | sed 's/^ *//;s/ *$//')
  if [ -z "$spdx" ]; then
    echo "bill.sh: $licence has no SPDX licence for $library, which $file is linked with" >&2
    exit 1
  fi
  path=$(ldconfig -p 2>/dev/null | awk -v l="$library" '$1 == l {print $NF; exit}')
  of_debian "$(readlink -f "${path:-/none}" || echo /none)"
  id=$(printf '%s' "$library" | tr -c 'A-Za-z0-9.\n' '-')
  printf ',\n'
  package "$library" "$id" "$package_version" "$spdx" '' "$reference"
  relate "$name" DYNAMIC_LINK "$id"
done
of_debian libstb-dev
printf ',\n'
package stb_image libstb-image "$package_version" 'Unlicense OR MIT' '' "$reference"
relate "$name" STATIC_LINK libstb-image
printf '\n  ],\n  "relationships": [%s\n  ]\n}\n' "${relations#,}"
mv "$out.new" "$out"
