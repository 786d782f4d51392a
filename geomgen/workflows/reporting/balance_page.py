"""What a report says of mass and balance, from the set's own file."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.documents.record import Block, Notice, Table, Words
from geomgen.errors import FileWriteError
from geomgen.pages.html_page import BalancePage
from geomgen.pages.mass_diagram import Envelope, MassPoint, drawn
from geomgen.parameters import Parameters
from geomgen.parameters.values.centre_limit import CHORD, MARGIN, CentreLimit
from geomgen.workflows.building.balance_file import BALANCE, read_balance

if TYPE_CHECKING:
    from geomgen.aircraft_drawings.on_wheels.stance import LoadedCentre


def balance_page(folder: Path, p: Parameters) -> BalancePage | None:
    """Return what a set says of its masses; None where it has none."""
    from geomgen.balance.plain import from_plain
    from geomgen.workflows.building.balancing import sheet_of

    values = read_balance(folder)
    if values is None:
        return None
    try:
        blocks = sheet_of(p, from_plain(values), stored=True)
        diagram = drawn(envelope(p, values))
    except (KeyError, TypeError, ValueError) as error:
        raise FileWriteError(
            "the masses of the set can't be read", path=BALANCE, advice="build the set again"
        ) from error
    words = [*_said(blocks), *_of_neutral_point(values)]
    tables = tuple(block for block in blocks if isinstance(block, Table))
    return BalancePage(tuple(words), diagram, tables)


def loaded_centres(folder: Path) -> "tuple[tuple[LoadedCentre, ...], str]":
    """Return the centre of every loading of a set [mm], or why there is none."""
    from geomgen.aircraft_drawings.on_wheels.stance import LoadedCentre
    from geomgen.kernel.plain import vec

    values = read_balance(folder)
    if values is None:
        return (), "the file does not say what it weighs"
    if values["left_out"]:
        return (), f"not all that is weighed is known: {', '.join(values['left_out'])}"
    if not values["loadings"]:
        return (), "no [loads] in the file says who flies it"
    rows = values["loadings"]
    return tuple(LoadedCentre(str(row["name"]), vec(row["centre_mm"])) for row in rows), ""


def _said(blocks: list[Block]) -> list[str]:
    return [block.text for block in blocks if isinstance(block, Notice | Words)]


def _of_neutral_point(values: dict[str, Any]) -> list[str]:
    from geomgen.balance.sheet import BESIDE, NAMES

    point, beside = values["neutral_point"], values["neutral_point_beside"]
    if point is None:
        found = [f"No neutral point is estimated: {values['no_neutral_point']}."]
    else:
        found = _told(point, NAMES[point["by"]])
    return found if beside is None else [*found, *_told(beside, BESIDE)]


def _told(point: dict[str, Any], name: str) -> list[str]:
    from geomgen.balance.sheet import neutral_words

    told = neutral_words(
        point["station_mm"],
        point["chord_share"],
        point["band_mm"],
        point["method"],
        point["doubts"],
        point["left_out"],
        name,
    )
    return [words.text for words in told]


def envelope(p: Parameters, values: dict[str, Any]) -> Envelope:
    """Return all loadings and the limits as stations [mm] and masses [kg]."""
    rows = values["loadings"]
    points = tuple(
        MassPoint(row["centre_mm"][0], row["mass_kg"], row["name"], row["named"]) for row in rows
    )
    point, heavy = values["neutral_point"], p.rules.gross_mass
    return Envelope(
        points,
        _station(p.rules.forward_limit, values),
        _station(p.rules.aft_limit, values),
        heavy.value if heavy else None,
        None if point is None else (point["station_mm"], *point["band_mm"]),
    )


def _station(limit: CentreLimit | None, values: dict[str, Any]) -> float | None:
    """Return a limit as a station [mm]; None where there is none, or nothing to count it from."""
    chord, point = values["mean_chord"], values["neutral_point"]
    if limit is None:
        return None
    if limit.kind not in (CHORD, MARGIN):
        return limit.value
    if chord is None or (limit.kind == MARGIN and point is None):
        return None
    share = limit.value * float(chord["length_mm"])
    if limit.kind == CHORD:
        return float(chord["leading_edge_mm"]) + share
    return float(point["station_mm"]) - share
