"""On which line does a key of a TOML file stand? The text is one that a TOML reader accepted."""

import bisect
import re

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
LITERAL = re.compile(r"'[^'\n]*'")
LONG_BASIC = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}', re.DOTALL)
LONG_LITERAL = re.compile(r"'''.*?'{3,5}", re.DOTALL)
_PLAIN = re.compile(r"[^,\]}#\r\n]+")
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|(.))")
_LETTERS = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


def lines_of_keys(text: str) -> dict[Path, int]:
    r"""Return the line [1] of every table, key and list item, by its path.

    >>> found = lines_of_keys('[pod]\nwall = "4 mm"\n[[pod.stations]]\nkeel = "1 m"')
    >>> found[("pod", "wall")], found[("pod", "stations", 0, "keel")]
    (2, 4)
    """
    return _Scan(text).run()


class _Scan:
    """One pass over the text; each method starts and ends between two tokens."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[Path, int] = {}
        self.rows: dict[Path, int] = {}
        self.breaks = [m.start() for m in re.finditer("\n", text)]

    def run(self) -> dict[Path, int]:
        table: Path = ()
        self.skip(_BETWEEN)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip(_BETWEEN)
        return self.found

    def skip(self, what: re.Pattern[str]) -> str:
        match = what.match(self.text, self.at)
        if match is None:
            raise ValueError(f"line {self.line()}: not the text that was read")
        self.at = match.end()
        return match[0]

    def line(self) -> int:
        return bisect.bisect_left(self.breaks, self.at) + 1

    def note(self, path: Path, line: int) -> None:
        self.found.setdefault(path, line)

    def header(self) -> Path:
        line, many = self.line(), self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        parts = self.key()
        self.at += 2 if many else 1
        path: Path = ()
        for i, part in enumerate(parts):
            path = (*path, part)
            self.note(path, line)
            last = i == len(parts) - 1
            if last and many:
                self.rows[path] = self.rows.get(path, -1) + 1
            if path in self.rows and (many or not last):
                path = (*path, self.rows[path])
                self.note(path, line)
        return path

    def key(self) -> list[str]:
        parts = []
        while True:
            self.skip(_BLANK)
            parts.append(self.key_part())
            self.skip(_BLANK)
            if not self.text.startswith(".", self.at):
                return parts
            self.at += 1

    def key_part(self) -> str:
        if self.text[self.at] == '"':
            return _ESCAPE.sub(_unescaped, self.skip(BASIC)[1:-1])
        if self.text[self.at] == "'":
            return self.skip(LITERAL)[1:-1]
        return self.skip(_BARE)

    def pair(self, table: Path) -> None:
        line, path = self.line(), table
        for part in self.key():
            path = (*path, part)
            self.note(path, line)
        self.at += 1
        self.skip(_BLANK)
        self.value(path)

    def value(self, path: Path) -> None:
        start = self.text[self.at]
        if start == "[":
            self.items(path)
        elif start == "{":
            self.inline(path)
        elif start == '"':
            self.skip(LONG_BASIC if self.text.startswith('"""', self.at) else BASIC)
        elif start == "'":
            self.skip(LONG_LITERAL if self.text.startswith("'''", self.at) else LITERAL)
        else:
            self.skip(_PLAIN)

    def items(self, path: Path) -> None:
        self.at += 1
        number = 0
        while True:
            self.skip(_BETWEEN)
            if self.text[self.at] == "]":
                break
            self.note((*path, number), self.line())
            self.value((*path, number))
            number += 1
            self.skip(_BETWEEN)
            self.at += self.text[self.at] == ","
        self.at += 1

    def inline(self, path: Path) -> None:
        self.at += 1
        while True:
            self.skip(_BETWEEN)
            if self.text[self.at] == "}":
                break
            self.pair(path)
            self.skip(_BETWEEN)
            self.at += self.text[self.at] == ","
        self.at += 1


def _unescaped(match: re.Match[str]) -> str:
    code = match[1] or match[2]
    return chr(int(code, 16)) if code else _LETTERS.get(match[3], match[3])
