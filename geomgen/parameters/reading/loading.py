"""`load`: from a parameter file to frozen records, or a refusal that says what to put right."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from geomgen.errors import ParameterError, Stand
from geomgen.parameters.file_text.aerofoil_file import Point, read_aerofoil
from geomgen.parameters.file_text.positions import Path as KeyPath
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.own_units import (
    as_written,
    in_own_unit,
    length_unit,
    with_own_lengths,
)
from geomgen.parameters.reading.refusal import (
    Origins,
    dotted,
    field_words,
    located,
    origin_of,
    raise_all,
    raise_validation,
)
from geomgen.parameters.reading.relative_places import ResolvedPlaces, worked_out_places
from geomgen.parameters.reading.row_words import rows_told
from geomgen.parameters.reading.written_key import at
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.conditions import CLEARANCES, Rules
from geomgen.parameters.rules.all_rules import clashes
from geomgen.parameters.rules.clash import FieldClash
from geomgen.parameters.rules.structure.assembly import assembly_clashes
from geomgen.parameters.rules.structure.attachments import attachment_clashes
from geomgen.parameters.rules.structure.framing import framing_clashes
from geomgen.parameters.rules.structure.included import included_clashes
from geomgen.parameters.rules.structure.wing import wing_structure_clashes
from geomgen.parameters.values.aerofoil_name import flat_name
from geomgen.parameters.values.quantities import Threshold

Points = tuple[Point, ...]


def load(path: str | Path, overrides: Sequence[str] = ()) -> Parameters:
    """Return the records of a parameter file, with `key=value` overrides laid over it.

    Everything that is wrong is reported at once, as one ParameterError.
    """
    file = Path(path)
    tables, origins = read_with_bases(file)
    apply(tables, origins, list(overrides))
    with rows_told(tables):
        return records_of(tables, origins, file.parent)


def records_of(tables: dict[str, Any], origins: Origins, folder: Path) -> Parameters:
    """Return the records of tables that were read; ParameterError lists all that is wrong."""
    hung = worked_out_places(tables, origins)
    try:
        parameters = Parameters.model_validate(hung.tables)
    except ValidationError as error:
        raise_validation(error, origins, hung.refused, hung.silent)
        raise
    raise_all(hung.refused)
    parameters = _with_rule_defaults(parameters)
    inside = (*framing_clashes(parameters), *wing_structure_clashes(parameters))
    every = [*clashes(parameters), *inside, *attachment_clashes(parameters)]
    every += [*assembly_clashes(parameters), *included_clashes(parameters)]
    refused = [_clash(clash, hung, origins, tables) for clash in every]
    parameters._written.update(written_values(tables))
    parameters._written.update({dotted(path): hung.told(path) for path in hung.texts})
    parameters._hung.update(hung.texts)
    parameters._lines.update({path: (o.file, o.line) for path, o in origins.items() if path})
    parameters._folder = folder
    read: dict[str, Points] = {}
    for key, name in _aerofoil_files(parameters):
        if name not in read:
            file = folder / name.removeprefix("file:")
            try:
                read[name] = read_aerofoil(file)
            except ParameterError as error:
                refused.append(_in_key(error, key, origins, _within(file, folder)))
    raise_all(refused)
    return with_own_lengths(_with_aerofoils(parameters, read))


def _clash(
    clash: FieldClash, hung: ResolvedPlaces, origins: Origins, tables: dict[str, Any]
) -> ParameterError:
    unit = length_unit(tables, clash.path)
    written = as_written(clash.written, at(tables, clash.path), unit)
    if clash.path in hung.texts:
        written = f"{hung.texts[clash.path]} ({written})"
    elif clash.path not in origins and field_words(clash.path) is not None:
        written = f"nothing, so the default: {written}"
    problem, allowed = (in_own_unit(text, unit) for text in (clash.problem, clash.allowed))
    advice = in_own_unit(clash.advice or _what_to_do(clash, origins), unit)
    return located(clash.path, origins, problem, written, allowed, advice)


def _what_to_do(clash: FieldClash, origins: Origins) -> str:
    """Say which key to change, or which others: where they stand."""
    if not clash.by:
        return f"write {dotted(clash.path)} as allowed"
    others = " or ".join(_standing(path, origins) for path in clash.by)
    return f"change {dotted(clash.path)}, or {others}"


def _standing(path: KeyPath, origins: Origins) -> str:
    """Return a key with its line, and the file where that is another one than the file read."""
    origin = origin_of(path, origins)
    if path not in origins:
        return Stand(dotted(path), note="left out").words
    if origin.line is not None and origin.file == origins[()].file:
        return Stand(dotted(path), note=f"line {origin.line}").words
    return Stand(dotted(path), origin.file, origin.line).words


def _within(file: Path, folder: Path) -> bool:
    """Tell whether a file lies in a folder or below, wherever links lead."""
    return Path(os.path.realpath(file)).is_relative_to(os.path.realpath(folder))


def _with_aerofoils(p: Parameters, read: dict[str, Points]) -> Parameters:
    """Return the records with the points that were read.

    A file of another folder gets a name of its own in this one: whatever is written of the records
    stands in one folder, and nothing is written outside.
    """
    names = {name: f"file:{flat_name(name, points)}" for name, points in read.items()}
    if any(name != flat for name, flat in names.items()):
        p = _renamed(p, names)
    p._aerofoils.update({names[name]: points for name, points in read.items()})
    return p


def _renamed(p: Parameters, names: dict[str, str]) -> Parameters:
    made: dict[str, Any] = {}
    for table in ("wing", "tailplane", "fins"):
        surface = getattr(p, table)
        if surface is not None:
            sections = tuple(_section(row, names) for row in surface.sections)
            made[table] = surface.model_copy(update={"sections": sections})
    if p.pylon is not None:
        made["pylon"] = _section(p.pylon, names)
    return p.model_copy(update=made)


def _section(row: Any, names: dict[str, str]) -> Any:
    return row.model_copy(update={"aerofoil": names.get(row.aerofoil, row.aerofoil)})


def _in_key(error: ParameterError, key: KeyPath, origins: Origins, own: bool) -> ParameterError:
    """Return the refusal of an aerofoil file; what stands in a file elsewhere is not shown."""
    where = f"{error.file}, line {error.line}" if error.line else f"{error.file}"
    problem = f"{where}: {error.problem}"
    written = error.written if own else None
    return located(key, origins, problem, written, error.allowed, error.advice)


def _with_rule_defaults(parameters: Parameters) -> Parameters:
    """Fill the clearances that were left out from the rule set chosen."""
    rules = parameters.rules
    table = CLEARANCES[rules.clearances]
    layout = parameters.gear.layout if parameters.gear else "tricycle"
    filled: dict[str, Threshold] = {}
    for key, row in (
        ("radial_clearance", "radial_clearance"),
        ("axial_clearance", "axial_clearance"),
        ("ground_clearance", layout),
    ):
        if getattr(rules, key) is None:
            filled[key] = Threshold(*table[row])
    whole: Rules = rules.model_copy(update=filled)
    return parameters.model_copy(update={"rules": whole})


def written_values(tables: Any, path: KeyPath = ()) -> dict[str, str]:
    """Return every value as written, by dotted key; of a threshold with a source, its value.

    >>> written_values({"flight": {"climb_speed": "64 ft/s"}, "joints": [{"to": "pod"}]})
    {'flight.climb_speed': '64 ft/s', 'joints.0.to': 'pod'}
    """
    found: dict[str, str] = {}
    rows = tables.items() if isinstance(tables, dict) else enumerate(tables)
    for key, value in rows:
        here = (*path, key)
        if isinstance(value, dict) and path == ("rules",):
            found[dotted(here)] = str(value["value"])
        elif isinstance(value, dict | list):
            found.update(written_values(value, here))
        else:
            found[dotted(here)] = str(value)
    return found


def _aerofoil_files(p: Parameters) -> Iterator[tuple[KeyPath, str]]:
    for table in ("wing", "tailplane", "fins"):
        surface = getattr(p, table)
        for i, section in enumerate(surface.sections if surface else ()):
            if section.aerofoil.startswith("file:"):
                yield (table, "sections", i, "aerofoil"), section.aerofoil
    if p.pylon and p.pylon.aerofoil.startswith("file:"):
        yield ("pylon", "aerofoil"), p.pylon.aerofoil
