"""The answer as a parameter file: the former text, the freed values replaced, a word at the top."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import tomlkit

from geomgen.errors import FileWriteError, GeomgenError, ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.overrides import value_of
from geomgen.parameters.rewriting import rewritten
from geomgen.parameters.source_text import LARGEST, decoded, read_bytes, tables_of

if TYPE_CHECKING:
    from geomgen.pipeline.solving import Plan, Question
    from geomgen.studies.solve_search import Solved

MARK = "# Solved with geomgen solve"
FILE = "file:"


def place_for(question: "Question", p: Parameters, out: str | Path) -> Path:
    """Return where the answer is written; FileWriteError when a file there must not be replaced."""
    place = Path(question.write) if question.write else Path(out) / f"{p.name}-solved.toml"
    if _same(place, Path(question.path)):
        raise FileWriteError(
            "the answer must not replace the file that it is solved from",
            path=place,
            advice="choose another name with --write",
        )
    if place.is_dir():
        raise FileWriteError(
            "a folder of that name is in the way", path=place, advice="choose another name"
        )
    if place.exists() and not question.replace and not _own(place):
        raise FileWriteError(
            "it is there already and is no answer of solve",
            path=place,
            advice="choose another name with --write, or allow it with --replace",
        )
    return place


def _same(one: Path, other: Path) -> bool:
    return os.path.realpath(one) == os.path.realpath(other)


def _own(place: Path) -> bool:
    try:
        with open(place, "rb") as file:
            return file.read(len(MARK)) == MARK.encode("ascii")
    except OSError:
        return False


def write_variant(plan: "Plan", solved: "Solved", judged: Parameters) -> Path:
    """Write the answer, load it again and hold it to the parameters that were judged."""
    from geomgen.files.disk import disk_errors, proof_failed, write_bytes

    text = variant_text(plan, solved)
    with disk_errors(plan.file.parent):
        plan.file.parent.mkdir(parents=True, exist_ok=True)
    write_bytes(plan.file, text.encode("utf-8"))
    try:
        again = load(plan.file)
    except GeomgenError as error:
        raise proof_failed(plan.file, f"it does not load again: {error}") from error
    if plain_of(again) != plain_of(judged):
        raise proof_failed(plan.file, "it does not give the parameters that were judged")
    return plan.file


def plain_of(p: Parameters) -> Any:
    """Return parameters as plain values, points in place of the names of airfoil files."""

    def named(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: named(inner) for key, inner in value.items()}
        if isinstance(value, list | tuple):
            return [named(inner) for inner in value]
        known = isinstance(value, str) and value in p.airfoils
        return p.airfoils[value] if known else value

    return named(p.plain())


def variant_text(plan: "Plan", solved: "Solved") -> str:
    """Return the text of the answer's file."""
    path = Path(plan.question.path)
    text = decoded(read_bytes(path, LARGEST, "a parameter file"), path)
    changes: dict[str, object] = {}
    for lay in plan.question.overrides:
        key, _, value = lay.partition("=")
        changes[key.strip()] = value_of(value.strip())
    assert solved.answer is not None
    for free, written in zip(plan.asked.frees, solved.answer.texts, strict=True):
        changes[free.name] = value_of(written)
    unchanged = solved.answer is solved.former
    if unchanged:
        changes = {key: v for key, v in changes.items() if key not in _names(plan)}
    inherited = None if "extends" not in tables_of(text, path) else plan.tables
    made = rewritten(text, changes, inherited=inherited, file=str(path))
    made = _moved(made, path.parent, plan.file.parent)
    end = "\r\n" if "\r\n" in text else "\n"
    return end.join([*_head(plan, solved), "", ""]) + made


def _names(plan: "Plan") -> set[str]:
    return {free.name for free in plan.asked.frees}


def _head(plan: "Plan", solved: "Solved") -> list[str]:
    """Return the comment at the top: what was freed and asked, and what came of it."""
    from geomgen.pipeline.solving_mass import mass_words
    from geomgen.studies.solve_told import headline

    rows = [f"Free: {', '.join(f'{free.label} from {free.asked}' for free in plan.asked.frees)}."]
    if plan.question.overrides:
        rows.append(f"Set with it: {'; '.join(plan.question.overrides)}.")
    if plan.asked.least_mass:
        rows.append(f"As light as can be: {mass_words(plan.densities)}.")
    rows.append(f"Found: {headline(solved)}.")
    lines = [f"{MARK} from {Path(plan.question.path).name}."]
    return [*lines, *(f"# {''.join(c if c.isprintable() else '?' for c in row)}" for row in rows)]


def _moved(text: str, former: Path, new: Path) -> str:
    """Make names of other files in a text count from another folder."""
    if _same(former, new):
        return text
    document = tomlkit.parse(text)
    base = document.get("extends")
    if isinstance(base, str):
        document["extends"] = _from(former / base, new)
        text = tomlkit.dumps(document)
    found = _airfoils(tables_of(text, Path("the answer")), "")
    changes = {
        key: FILE + _from(former / name.removeprefix(FILE).strip(), new)
        for key, name in found.items()
    }
    return rewritten(text, changes) if changes else text


def _from(file: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError as error:
        raise ParameterError(
            "no way leads from the answer's folder to this file",
            written=str(file),
            advice="write the answer on the same disk: --write",
        ) from error


def _airfoils(tables: Any, at: str) -> dict[str, str]:
    found: dict[str, str] = {}
    rows = tables.items() if isinstance(tables, dict) else enumerate(tables)
    for key, value in rows:
        here = f"{at}.{key}" if at else str(key)
        if isinstance(value, dict | list):
            found.update(_airfoils(value, here))
        elif key == "airfoil" and isinstance(value, str) and value.startswith(FILE):
            found[here] = value
    return found
