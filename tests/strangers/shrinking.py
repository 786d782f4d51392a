"""Makes the file of a failure smaller, as long as it fails in the same way.

cd tests; PYTHONPATH=.. python -m strangers.shrinking fair 4 --stage solids > small.toml
"""

import argparse
import sys
import tomllib
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

from strangers.aircraft import aircraft
from strangers.outcome import Outcome
from strangers.trying import CPU, STAGES, tried

from geomgen.parameters.editing.writing import toml_of

Place = tuple[str | int, ...]


def smaller(text: str, same: Callable[[str], bool], most: int = 400) -> str:
    """Return the smallest file that can be had of a file's text by leaving things out.

    Whole tables go first, then rows, then keys; what `same` says no to stays. At most so many
    files are asked about.

    >>> print(smaller('a = 1\\n[b]\\nc = 1\\nd = 2', lambda t: "c =" in t, most=0))
    a = 1
    [b]
    c = 1
    d = 2
    """
    best, asked, moved = text, 0, True
    while moved:
        moved = False
        for place in places(tomllib.loads(best)):
            if asked >= most:
                return best
            less = without(tomllib.loads(best), place)
            if less is None:
                continue
            asked += 1
            if same(less):
                best, moved = less, True
    return best


def places(tables: dict[str, Any]) -> list[Place]:
    """Return all places of tables, rows and keys: the outer ones first, later rows first.

    >>> places({"a": {"b": 1}, "c": [{"d": 2}]})
    [('a',), ('c',), ('a', 'b'), ('c', 0), ('c', 0, 'd')]
    """
    return sorted(_inside(tables, ()), key=lambda place: (len(place), _later_first(place)))


def _later_first(place: Place) -> Place:
    return tuple(-part if isinstance(part, int) else part for part in place)


def _inside(node: Any, path: Place) -> Iterator[Place]:
    if path:
        yield path
    rows = node.items() if isinstance(node, dict) else enumerate(node)
    for key, value in rows if isinstance(node, dict | list) else ():
        if isinstance(value, dict | list):
            yield from _inside(value, (*path, key))
        else:
            yield (*path, key)


def without(tables: dict[str, Any], place: Place) -> str | None:
    """Return the text without what stands at a place; None where nothing stands there now."""
    found = deepcopy(tables)
    here: Any = found
    try:
        for part in place[:-1]:
            here = here[part]
        del here[place[-1]]
    except (KeyError, IndexError, TypeError):
        return None
    return toml_of(found)


def alike(first: Outcome, grade: str, seed: int, stage: str, cpu: int) -> Callable[[str], bool]:
    """Return a question: does a text come to the same end, for the same reason?"""

    def same(text: str) -> bool:
        now = tried(grade, seed, text, stage, cpu)
        return (now.outcome, now.by, now.reason) == (first.outcome, first.by, first.reason)

    return same


def main(words: list[str]) -> int:
    """Run from the command line: a grade and a number, or a file."""
    parser = argparse.ArgumentParser(prog="strangers.shrinking", description=__doc__)
    parser.add_argument("which", help="a grade, or a file")
    parser.add_argument("seed", type=int, nargs="?", default=0)
    parser.add_argument("--stage", choices=STAGES, default="solids")
    parser.add_argument("--cpu", type=int, default=CPU)
    parser.add_argument("--most", type=int, default=400, help="files to try at most")
    o = parser.parse_args(words)
    file = Path(o.which)
    text = file.read_text(encoding="utf-8") if file.exists() else aircraft(o.which, o.seed)
    first = tried(o.which, o.seed, text, o.stage, o.cpu)
    print(f"{first.outcome}: {first.message}", file=sys.stderr)
    if first.outcome == "built":
        return 1
    same = alike(first, o.which, o.seed, o.stage, o.cpu)
    print(f"# {o.stage}: {first.outcome} {first.reason}\n" + smaller(text, same, o.most), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
