"""How deep a TOML text goes and how much it holds, told before a reader takes for ever over it."""

import re

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import BASIC, LITERAL, LONG_BASIC, LONG_LITERAL

# The deepest value of a parameter file lies five levels down.
DEEPEST = 16
# A file with all that the schema allows has some four thousand values.
MOST_VALUES = 10_000
_TOKEN = re.compile(
    rf"""(?P<string>{LONG_BASIC.pattern}|{LONG_LITERAL.pattern}|{BASIC.pattern}|{LITERAL.pattern})
    |(?P<comment>\#[^\n]*)|(?P<open>[\[{{])|(?P<close>[\]}}])|(?P<dot>\.)|(?P<word>[A-Za-z0-9_+:-]+)
    |(?P<value>[=,])|(?P<broken>["'])|(?P<blank>[\ \t\r]+)|(?P<other>\n\s*|.)""",
    re.VERBOSE | re.DOTALL,
)


def check_nesting(text: str, file: str) -> None:
    r"""Refuse text whose keys, lists or tables lie too deep or are too many, with the line.

    >>> check_nesting("[a.b]\nc = [1, {d = 2}]", "mine.toml")
    >>> check_nesting("x = 1\n[" + ".".join("a" * 20) + "]", "mine.toml")
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: mine.toml, line 2: a key of more than 16 parts
      allowed: up to 16 levels
    """
    parts = inside = values = 0
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup
        if kind == "broken":
            # A text without its end: the reader says so.
            return
        if kind == "dot":
            parts += 1
        elif kind not in ("string", "word", "blank"):
            parts = 0
        if kind == "value" or kind == "open":
            values += 1
        if kind == "open":
            inside += 1
        elif kind == "close":
            inside = max(inside - 1, 0)
        if parts >= DEEPEST:
            raise _refused("a key of more than 16 parts", text, match.start(), file)
        if inside > DEEPEST:
            raise _refused("nested too deeply", text, match.start(), file)
        if values > MOST_VALUES:
            raise ParameterError(
                "too many values for a parameter file", file=file, allowed=f"up to {MOST_VALUES}"
            )


def _refused(problem: str, text: str, at: int, file: str) -> ParameterError:
    line = text.count("\n", 0, at) + 1
    return ParameterError(problem, file=file, line=line, allowed=f"up to {DEEPEST} levels")
