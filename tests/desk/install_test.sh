#!/bin/sh
# Installs into an empty folder and looks at what is there: programs that start, man pages with every verb,
# a desktop entry that is one, the icon it names.
# usage: tests/desk/install_test.sh BUILD
set -eu
build=$1
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cmake --install "$build" --prefix "$place" > /dev/null
fail() { echo "install: $1" >&2; exit 1; }

for program in skedlark skedlark-desk skedlark-sheet; do
    "$place/bin/$program" --version | grep -q '[0-9]\.[0-9]' || fail "$program does not start"
    page=$place/share/man/man1/$program.1
    grep -q '^\.TH' "$page" || fail "$page is no man page"
done
for verb in $("$place/bin/skedlark" --help | sed -n '/^Subcommands/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
    grep -qi "^\.SH SKEDLARK $verb\$" "$place/share/man/man1/skedlark.1" || fail "no page of $verb"
done
entry=$place/share/applications/skedlark-desk.desktop
desktop-file-validate "$entry" || fail "$entry is no desktop entry"
icon=$(sed -n 's/^Icon=//p' "$entry")
[ -f "$place/share/icons/hicolor/scalable/apps/$icon.svg" ] || fail "no icon $icon"
echo "install: $(find "$place" -type f | wc -l) files as they should be"
