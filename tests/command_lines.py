"""The command lines of geomgen that a text for people shows."""

import re
import shlex


def command_lines(text: str) -> list[list[str]]:
    """Return the words behind `geomgen` of each command line of a text, by the shell's rules."""
    lines = text.replace("\\\n", " ").splitlines()
    parts = [part.strip().removeprefix("$ ") for line in lines for part in line.split("&&")]
    told = [part for part in parts if re.match(r"(\S*/)?geomgen ", part)]
    return [shlex.split(part, comments=True)[1:] for part in told]
