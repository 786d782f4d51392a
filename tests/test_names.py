"""Names and units: one class to a name, and no number whose unit the reader has to guess."""

import ast
import re
from collections import Counter
from collections.abc import Iterator

import pytest
from program_trees import FILES, tree

NUMBERS = {"float", "Floats", "ndarray", "Vec3", "Colour"}
UNIT = re.compile(
    r"\[(?:(?:any |its )?unit|mm[2-4]?|1|1/mm|chord|deg|rad|s|m|m/s|m2/s2|kg|kg/s"
    r"|kg/m[23]|N|Pa|K|W|rpm"
    r"|bytes|pixel|%)(?:[ ,][^]]*)?\]"
)

Function = ast.FunctionDef | ast.AsyncFunctionDef


def defined(body: list[ast.stmt], kind: type[ast.AST]) -> Iterator[ast.AST]:
    for node in body:
        if isinstance(node, kind) and not node.name.startswith("_"):
            yield node


def functions(body: list[ast.stmt]) -> Iterator[Function]:
    """Yield the public functions, and those of the public classes."""
    yield from defined(body, Function)
    for node in defined(body, ast.ClassDef):
        yield from functions(node.body)


def numbers_in(function: Function) -> bool:
    """Say whether numbers or arrays of them go in or come out."""
    given = function.args
    each = (*given.posonlyargs, *given.args, *given.kwonlyargs, given.vararg, given.kwarg)
    kinds = [one.annotation for one in each if one is not None] + [function.returns]
    words = {word for kind in kinds if kind for word in re.findall(r"\w+", ast.unparse(kind))}
    return bool(words & NUMBERS)


def unit_said(function: Function) -> bool:
    """Say whether the words of a function, its examples apart, hold a unit in brackets."""
    return bool(UNIT.search((ast.get_docstring(function) or "").partition(">>>")[0]))


def first(text: str) -> Function:
    return next(functions(ast.parse(text).body))


def test_a_class_has_its_name_to_itself():
    classes = (node.name for path in FILES for node in defined(tree(path).body, ast.ClassDef))
    assert not [name for name, times in Counter(classes).items() if times > 1]


def test_each_function_says_the_units_of_its_numbers():
    asked = [(path, f) for path in FILES for f in functions(tree(path).body)]
    assert asked
    assert not [f"{path} {f.name}" for path, f in asked if numbers_in(f) and not unit_said(f)]


@pytest.mark.parametrize(
    ("text", "numbers", "said"),
    [
        ('def f(x: float): "Lift x [mm]."', True, True),
        ('def f(x: "Floats | None") -> int: "Lift x (n,) [deg, 0 is level]."', True, True),
        ('class A:\n def f(self) -> tuple[float, int]: "Return x[1:] of it."', True, False),
        ('def f(x: Vec3): "Lift x.\\n\\n>>> f(lifts[1])"', True, False),
        ('def f(name: str): "Lift."', False, False),
    ],
)
def test_what_counts_as_a_number_and_as_a_unit(text, numbers, said):
    assert (numbers_in(first(text)), unit_said(first(text))) == (numbers, said)
