"""The answer as a parameter file: the former text, the freed values replaced, a word at the top."""

import os
from collections.abc import Sequence
from contextlib import suppress
from itertools import chain, count
from pathlib import Path
from typing import TYPE_CHECKING, Any

import tomlkit

from geomgen.errors import FileWriteError, GeomgenError, ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes, tables_of
from geomgen.parameters.reading.overrides import value_of
from geomgen.parameters.reading.refusal import SET
from geomgen.solving.question import SolvePlan, SolveQuestion

if TYPE_CHECKING:
    from geomgen.solving.search.search import Solved

INTO_ANSWER = "solve writes what is set into its answer; write it into the file by hand before"
MARK = "# Solved with geomgen solve"
FILE = "file:"


def place_for(question: SolveQuestion, p: Parameters, out: str | Path) -> Path:
    """Return where the answer is written; FileWriteError when a file there must not be replaced.

    Without a name it is one that is not taken: an older answer stays.
    """
    from geomgen.files.disk import disk_errors

    place = Path(question.write) if question.write else _free(Path(out), p.name, question.replace)
    with disk_errors(place):
        _may_be_written(place, question)
    return place


def _free(out: Path, name: str, replace: bool) -> Path:
    places = (
        out / f"{name}-solved{tail}.toml" for tail in chain([""], map("-{}".format, count(2)))
    )
    return next(place for place in places if replace or not place.exists())


def _may_be_written(place: Path, question: SolveQuestion) -> None:
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
    if place.exists() and not question.replace:
        raise FileWriteError(
            "an older answer is there" if _own(place) else "it is there and is no answer of solve",
            path=place,
            advice="choose another name with --write, or allow it with --replace",
        )


def _same(one: Path, other: Path) -> bool:
    return os.path.realpath(one) == os.path.realpath(other)


def _own(place: Path) -> bool:
    try:
        with open(place, "rb") as file:
            return file.read(len(MARK)) == MARK.encode("ascii")
    except OSError:
        return False


def check_answer(plan: SolvePlan) -> None:
    """Try what the answer needs, before anything is built: its text, its folder.

    ParameterError for a value of `--set` that can't stand in it, FileWriteError for a folder that
    can't be written. Nothing is left behind.
    """
    from geomgen.files.disk import check_writable

    first = [free.on_step(free.counts()[0]) for free in plan.asked.frees]
    try:
        text = _laid(plan, first)
        _other_names(text, Path(plan.question.path).parent, plan.file.parent)
    except ParameterError as error:
        raise ParameterError(
            error.problem,
            file=error.file or SET,
            key=error.key,
            line=error.line,
            written=error.written,
            allowed=error.allowed,
            advice=error.advice or INTO_ANSWER,
        ) from error
    check_writable(plan.file.parent, _beside(plan.file).name)


def _beside(place: Path) -> Path:
    return place.with_name(f".{place.name}.{os.getpid()}")


def saved_meanwhile(plan: SolvePlan) -> bool:
    """Say whether the file, or one that it reads, is another than when the plan was made."""
    path = Path(plan.question.path)
    try:
        text = decoded(read_bytes(path, LARGEST, "a parameter file"), path)
        return text != plan.text or load(path, plan.question.overrides) != plan.base
    except ParameterError:
        return True


def write_variant(
    plan: SolvePlan, solved: "Solved", judged: Parameters, saved: bool = False
) -> Path:
    """Write the answer beside its place, hold it to what was judged, put it in its place.

    `saved` is what `saved_meanwhile` says. FileWriteError has the answer in words; the place is
    then as it was.
    """
    from geomgen.files.disk import disk_errors, proof_failed
    from geomgen.solving.search.told import headline

    place, beside = plan.file, _beside(plan.file)
    try:
        with disk_errors(place.parent):
            place.parent.mkdir(parents=True, exist_ok=True)
        wrong = _differs(beside, variant_text(plan, solved, saved), judged)
        if wrong and _differs(beside, laid_text(plan), plan.base):
            raise FileWriteError(
                "a file that it reads was changed during the search, so that it can't give what "
                "was measured",
                path=place,
                advice="solve again",
            )
        if wrong:
            raise proof_failed(place, wrong)
        with disk_errors(place):
            os.replace(beside, place)
    except FileWriteError as error:
        raise FileWriteError(
            f"{error.problem}; found: {headline(solved)}", path=place, advice=error.advice
        ) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
    return place


def _differs(path: Path, text: str, due: Parameters) -> str:
    """Write a text and load it again; return what is wrong with it, empty for nothing."""
    from geomgen.files.disk import write_bytes

    write_bytes(path, text.encode("utf-8"))
    try:
        again = load(path)
    except GeomgenError as error:
        return f"it does not load again: {error}"
    same = plain_of(again) == plain_of(due)
    return "" if same else "it does not give the parameters that were judged"


def plain_of(p: Parameters) -> Any:
    """Return parameters as plain values, points in place of the names of aerofoil files."""

    def named(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: named(inner) for key, inner in value.items()}
        if isinstance(value, list | tuple):
            return [named(inner) for inner in value]
        known = isinstance(value, str) and value in p.aerofoils
        return p.aerofoils[value] if known else value

    return named(p.plain())


def variant_text(plan: SolvePlan, solved: "Solved", saved: bool = False) -> str:
    """Return the text of the answer's file."""
    assert solved.answer is not None
    unchanged = solved.answer is solved.former
    made = laid_text(plan, () if unchanged else solved.answer.texts)
    end = "\r\n" if "\r\n" in plan.text else "\n"
    return end.join([*_head(plan, solved, saved), "", ""]) + made


def laid_text(plan: SolvePlan, texts: Sequence[str] = ()) -> str:
    """Return the text that `_laid` gives, for the answer's folder."""
    former = Path(plan.question.path).parent
    return _moved(_laid(plan, texts), former, plan.file.parent)


def _laid(plan: SolvePlan, texts: Sequence[str]) -> str:
    """Return the text of the file as it was read, with what is set and values of freed keys."""
    path = Path(plan.question.path)
    changes: dict[str, object] = {}
    for lay in plan.question.overrides:
        key, _, value = lay.partition("=")
        changes[key.strip()] = value_of(value.strip())
    for free, written in zip(plan.asked.frees, texts, strict=False):
        changes[free.name] = value_of(written)
    inherited = None if "extends" not in tables_of(plan.text, path) else plan.tables
    return rewritten(plan.text, changes, inherited=inherited, file=str(path))


def _head(plan: SolvePlan, solved: "Solved", saved: bool) -> list[str]:
    """Return the comment at the top: what was freed and asked, and what came of it."""
    from geomgen.solving.mass import mass_words
    from geomgen.solving.search.told import headline

    name = Path(plan.question.path).name
    rows = [f"Free: {', '.join(f'{free.label} from {free.asked}' for free in plan.asked.frees)}."]
    if saved:
        rows.append(f"{name} is as it was when the search began; it was changed since.")
    if plan.question.overrides:
        rows.append(f"Set with it: {'; '.join(plan.question.overrides)}.")
    if plan.asked.least_mass:
        rows.append(f"As light as can be: {mass_words(plan.densities)}.")
    rows.append(f"Found: {headline(solved)}.")
    first = sum(not point.exact for point in solved.points)
    way = f"; {first} of {len(solved.points)} states on the way by first answers" if first else ""
    rows.append(f"All figures of this answer are exact{way}.")
    lines = [f"{MARK} from {name}."]
    return [*lines, *(f"# {''.join(c if c.isprintable() else '?' for c in row)}" for row in rows)]


def _moved(text: str, former: Path, new: Path) -> str:
    """Make names of other files in a text count from another folder."""
    base, aerofoils = _other_names(text, former, new)
    if base is not None:
        document = tomlkit.parse(text)
        document["extends"] = base
        text = tomlkit.dumps(document)
    return rewritten(text, aerofoils) if aerofoils else text


def _other_names(text: str, former: Path, new: Path) -> tuple[str | None, dict[str, str]]:
    """Return the base file and the aerofoils of a text, as they are named from another folder."""
    if _same(former, new):
        return None, {}
    tables = tables_of(text, Path("the answer"))
    aerofoils = {
        key: FILE + _from(former / name.removeprefix(FILE).strip(), new)
        for key, name in _aerofoils(tables, "").items()
    }
    base = tables.get("extends")
    return (_from(former / base, new) if isinstance(base, str) else None), aerofoils


def _from(file: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError as error:
        raise ParameterError(
            "no way leads from the answer's folder to this file",
            written=str(file),
            advice="write the answer on the same disk: --write",
        ) from error


def _aerofoils(tables: Any, at: str) -> dict[str, str]:
    found: dict[str, str] = {}
    rows = tables.items() if isinstance(tables, dict) else enumerate(tables)
    for key, value in rows:
        here = f"{at}.{key}" if at else str(key)
        if isinstance(value, dict | list):
            found.update(_aerofoils(value, here))
        elif key == "aerofoil" and isinstance(value, str) and value.startswith(FILE):
            found[here] = value
    return found
