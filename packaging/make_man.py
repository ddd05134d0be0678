#!/usr/bin/env python3
"""Writes a man page out of what a program says of itself: the same text as --help, nothing to go stale.

usage: packaging/make_man.py PROGRAM OUT     PROGRAM: the built program; OUT: where NAME.1 is written
"""
import os
import re
import subprocess
import sys


def said(program, *arguments):
    # A fixed width, or the page would change with the terminal it was made on.
    environment = dict(os.environ, COLUMNS="80", LC_ALL="C.UTF-8")
    done = subprocess.run([program, *arguments], capture_output=True, text=True, env=environment)
    if done.returncode != 0:
        sys.exit(f"make_man: {program} {' '.join(arguments)}: exit status {done.returncode}")
    return done.stdout


def escaped(text):
    lines = []
    for line in text.split("\n"):
        line = line.replace("\\", "\\e").replace("-", "\\-")
        lines.append("\\&" + line if line.startswith((".", "'")) else line)
    return "\n".join(lines)


def verbs_of(help_text):
    part = re.search(r"^Subcommands:\n((?:  .*\n)+)", help_text, re.M)
    return re.findall(r"^  ([a-z]+)\s", part.group(1), re.M) if part else []


def section(title, text):
    return f".SH {title}\n.nf\n{escaped(text.strip())}\n.fi\n"


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    program, out = sys.argv[1:]
    name = os.path.basename(program)
    version = said(program, "--version").split()[-1]
    text = said(program, "--help")
    summary, rest = text.split("\n", 1)
    page = (f'.TH "{name.upper()}" "1" "" "Skedlark {version}" "User commands"\n'
            f".SH NAME\n{escaped(name)} \\- {escaped(summary[0].lower() + summary[1:])}\n")
    page += section("DESCRIPTION", rest)
    for verb in verbs_of(text):
        help_text = said(program, verb, "--help")
        page += section(f"{name.upper()} {verb.upper()}", help_text)
        for test in verbs_of(help_text):
            page += section(f"{name.upper()} {verb.upper()} {test.upper()}",
                            said(program, verb, test, "--help"))
    with open(out, "w", encoding="utf-8") as file:
        file.write(page)


if __name__ == "__main__":
    main()
