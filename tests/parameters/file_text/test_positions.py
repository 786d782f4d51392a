import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.parameters.file_text.positions import lines_of_keys

HARD = (
    '''# [not.a.table]
title = """
wall = 3
[pod]
"""                       # line 5
"odd key" = 'a # b'
"q\\"uote".'lit.eral' = 1   # 7

[ pod . "stations up" ]   # 9
a.b.c = [                 # 10
  1,   # one, [x]
  { z = 2, y = "}" },     # 12
  [ "]", '''
    + "'''\nw = 1\n'''"
    + """ ],
]                         # 16
[[ rows ]]                # 17
key = 1
[[rows.inner]]            # 19
deep = true
[[rows.inner]]            # 21
deep = 2020-01-01T00:00:00Z
[[rows]]                  # 23
key = {}
[rows.table]              # 25
x = -1.5e3
"""
)


def test_hard_text_is_toml():
    assert tomllib.loads(HARD)["rows"][0]["inner"][1]


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("odd key",), 6),
        (('q"uote', "lit.eral"), 7),
        (("pod", "stations up"), 9),
        (("pod", "stations up", "a", "b", "c"), 10),
        (("pod", "stations up", "a", "b", "c", 0), 11),
        (("pod", "stations up", "a", "b", "c", 1), 12),
        (("pod", "stations up", "a", "b", "c", 1, "y"), 12),
        (("pod", "stations up", "a", "b", "c", 2), 13),
        (("pod", "stations up", "a", "b", "c", 2, 1), 13),
        (("rows",), 17),
        (("rows", 0, "key"), 18),
        (("rows", 0, "inner", 0), 19),
        (("rows", 0, "inner", 0, "deep"), 20),
        (("rows", 0, "inner", 1), 21),
        (("rows", 0, "inner", 1, "deep"), 22),
        (("rows", 1), 23),
        (("rows", 1, "key"), 24),
        (("rows", 1, "table"), 25),
        (("rows", 1, "table", "x"), 26),
    ],
)
def test_lines(path, line):
    assert lines_of_keys(HARD)[path] == line


def test_nothing_inside_text_counts_as_a_key():
    found = lines_of_keys(HARD)
    assert ("wall",) not in found
    assert ("not",) not in found


def leaves(value, path=()):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for i, inner in enumerate(value):
            yield from leaves(inner, (*path, i))
    else:
        yield path


NAMES = st.sampled_from(["a", "b-1", "k", "9"])
SCALARS = st.sampled_from(["1", '"x # y"', "'[z]'", "true", "[1, 2]", "[ # c\n 1,\n]", "{ m = 1 }"])


@given(
    st.lists(st.tuples(NAMES, SCALARS), max_size=3, unique_by=lambda row: row[0]),
    st.lists(
        st.tuples(
            st.sampled_from(["t", "u.v"]),
            st.lists(st.tuples(NAMES, SCALARS), max_size=3, unique_by=lambda row: row[0]),
        ),
        max_size=4,
    ),
)
def test_every_key_that_is_read_has_the_line_it_was_written_on(top, rows):
    lines = [f"{key} = {value}" for key, value in top]
    for name, pairs in rows:
        lines += [f"[[{name}]]", *(f"{key} = {value}" for key, value in pairs), ""]
    text = "\n".join(lines)
    found = lines_of_keys(text)
    for path in leaves(tomllib.loads(text)):
        key = next(part for part in reversed(path) if isinstance(part, str))
        line = text.split("\n")[found[path] - 1]
        assert key in line
