"""The mass and balance sheet: tables and words for screen, page and PDF, metric and imperial."""

from collections.abc import Iterator, Sequence

from geomgen.balance.masses.entries import ITEM, MassEntry
from geomgen.balance.masses.gathered import gathered
from geomgen.balance.masses.inertia import RigidBody
from geomgen.balance.shifts import STEP, Shift
from geomgen.balance.stability.neutral_point import NeutralPoint
from geomgen.balance.state import BalanceState, LoadedState
from geomgen.balance.wing_loading import WingFigures
from geomgen.documents.record import Block, Heading, Notice, Row, Table, Words, rows_of
from geomgen.units import DIMENSIONS, INCH

POUND = DIMENSIONS["mass"].factors["lb"]
HORSEPOWER = DIMENSIONS["power"].factors["hp"]
FOOT = DIMENSIONS["length"].factors["ft"]
NAMES = {
    "estimate": "Estimated neutral point",
    "air": 'Neutral point by the computed air, which counts (rules.neutral_point = "air")',
}
BESIDE = "Beside it, the estimate from the planforms, which does not count"
# kg mm2 to kg m2; slug ft2 to kg m2.
TO_M2 = 1e-6
SLUG_FT2 = 1.3558179483314
IN_POUNDS = "The same in pounds and inches"
CAUTION = (
    "Computed masses are no weighing: weigh the finished machine and have it checked. A geometry "
    "aid, not an airworthiness approval: local codes and licensed practice come first."
)


def mass_blocks(
    state: BalanceState, ways: list[Shift], aft: LoadedState | None, stored: bool = False
) -> list[Block]:
    """Return the sheet: lines, empty machine, loadings, what moves the centre, cautions.

    Of a `stored` state the neutral point is not known; who shows it tells of that.
    """
    blocks: list[Block] = [Notice(CAUTION), *_lines(state), *_said_of_lines(state), *_empty(state)]
    if state.wing is not None:
        blocks.append(_wing(state.wing, state.gross))
    if state.neutral is not None or not stored:
        blocks += [Words(""), *_neutral(state)]
    if state.loaded:
        blocks += [*_loadings(state), *_turning(state)]
    if aft is not None:
        blocks.append(_ways(ways, aft))
    return blocks


def kilograms(mass: float) -> str:
    """Return a mass [kg] in both units.

    >>> kilograms(100.0)
    '100.00 kg, 220.5 lb'
    """
    return f"{mass:.2f} kg, {mass / POUND:.1f} lb"


def _whole(value: float) -> str:
    """Return a length [mm] without decimals, nothing with a sign before a nought."""
    return f"{round(value) + 0:d}"


def _inches(value: float) -> str:
    """Return a length [mm] in inches, nothing with a sign before a nought."""
    return f"{round(value / INCH, 1) + 0.0:.1f}"


def _lines(state: BalanceState) -> Iterator[Table]:
    """Return each item with mass, place and moment, then the same in pounds and inches."""
    metric, imperial = [], []
    for line in gathered(state.lines):
        x, y, z = line.body.centre
        mass = line.body.mass
        metric.append(
            (
                *(line.name, f"{mass:.3f}", f"{line.band:.2f}"),
                *(_whole(x), _whole(y), _whole(z), f"{mass * x / 1000:.2f}"),
                _how(line),
            )
        )
        pounds, moment = f"{mass / POUND:.2f}", f"{mass / POUND * x / INCH:.1f}"
        places = (_inches(x), _inches(y), _inches(z))
        imperial.append((line.name, pounds, f"{line.band / POUND:.2f}", *places, moment))
    head = ("item", "kg", "+/- kg", "STA mm", "BL mm", "WL mm", "kg m", "how")
    shares = (0.22, 0.08, 0.07, 0.08, 0.07, 0.07, 0.08, 0.33)
    yield Table(head, rows_of(metric), shares, "What it is made of", tuple(range(1, 7)))
    inch = ("item", "lb", "+/- lb", "STA in", "BL in", "WL in", "lb in")
    yield Table(inch, rows_of(imperial), (0.34, *(0.11,) * 6), IN_POUNDS, tuple(range(1, 7)))


def _how(line: MassEntry) -> str:
    how = line.how if line.how != ITEM else line.group
    if line.worked_out is not None:
        how += f" (worked out: {line.worked_out:.3f} kg)"
    if not line.empty:
        return f"{how}; not in the empty mass"
    return how if line.limited else f"{how}; a rule's empty mass leaves it out"


def neutral_words(
    station: float,
    share: float,
    band: Sequence[float],
    source: str,
    doubts: Sequence[str],
    left_out: Sequence[str],
    name: str = "Estimated neutral point",
) -> list[Words]:
    """Return what is said of a neutral point [mm], its share of the mean chord [1]."""
    text = (
        f"{name}: STA {station:.0f} mm, {100 * share:.1f} % of the mean chord, "
        f"somewhere from {band[0]:.0f} to {band[1]:.0f} mm. Method: {source}. Have it confirmed by "
        "a qualified person and by careful flight test."
    )
    out = f"Left out: {'; '.join(left_out)}."
    return [Words(text), *(Words(f"Doubtful: {doubt}", "doubt") for doubt in doubts), Words(out)]


def _neutral(state: BalanceState) -> list[Words]:
    point, beside = state.neutral, state.beside
    if point is None:
        found = [Words(f"No neutral point is estimated: {state.no_neutral}", "doubt")]
    else:
        found = _told(point, NAMES[point.by])
    return found if beside is None else [*found, *_told(beside, BESIDE)]


def _told(point: NeutralPoint, name: str) -> list[Words]:
    share = point.in_chords(point.station)
    return neutral_words(
        point.station, share, point.band, point.source, point.doubts, point.left_out, name
    )


def _wing(wing: WingFigures, gross: float | None) -> Table:
    """Return the wing's measures and what it and the engine carry at the heaviest loading."""
    rows = [
        ("area", f"{wing.area / 1e6:.2f} m^2", f"{wing.area / FOOT**2:.1f} sq ft"),
        ("span", f"{wing.span / 1e3:.3f} m", f"{wing.span / FOOT:.2f} ft"),
        (
            "mean aerodynamic chord",
            f"{wing.mean_chord:.0f} mm",
            f"{wing.mean_chord / INCH:.1f} in",
        ),
        ("aspect ratio", f"{wing.aspect_ratio:.2f}", ""),
        *_carried(wing, gross),
    ]
    title = "Wing as measured; loadings by the heaviest loading. To read: no limit"
    return Table(("wing", "metric", "imperial"), rows_of(rows), (0.4, 0.3, 0.3), title, (1, 2))


def _carried(wing: WingFigures, gross: float | None) -> list[tuple[str, str, str]]:
    if gross is None:
        return [(name, "not known", "") for name in ("wing loading", "power loading")]
    by_wing, by_power = wing.wing_loading(gross), wing.power_loading(gross)
    feet = by_wing / POUND * (FOOT / 1e3) ** 2
    horses = by_power / POUND * HORSEPOWER / 1e3
    return [
        ("wing loading", f"{by_wing:.1f} kg/m^2", f"{feet:.2f} lb/sq ft"),
        ("power loading", f"{by_power:.1f} kg/kW", f"{horses:.1f} lb/hp"),
    ]


def _sources(state: BalanceState) -> Words:
    """Return where the masses come from, those of one source together."""
    by: dict[str, list[str]] = {}
    for line in gathered(state.lines):
        by.setdefault(line.source, []).append(line.name)
    told = [f"{', '.join(names)}: {source}" for source, names in by.items()]
    return Words(f"Where the masses come from. {'. '.join(told)}.", small=True, hang=0)


def _said_of_lines(state: BalanceState) -> Iterator[Block]:
    yield _sources(state)
    for name, why in state.lost:
        yield Words(f"{name}: {why}", "lost")


def _empty(state: BalanceState) -> Iterator[Table]:
    bodies = [
        ("empty, with all safety devices", state.empty),
        ("empty, as a rule counts it", state.limited),
    ]
    title = (
        f"Empty machine; all bands together +/- {state.mass_band:.2f} kg, "
        f"+/- {state.station_band(state.empty):.0f} mm of station"
    )
    yield from _centres(state, "machine", bodies, title)


def _loadings(state: BalanceState) -> Iterator[Table]:
    bodies = [(one.loading.name, one.body) for one in state.loaded]
    title = "Loadings: all combinations of the extremes, then by name"
    yield from _centres(state, "loading", bodies, title)


def _centres(
    state: BalanceState, first: str, bodies: Sequence[tuple[str, RigidBody]], title: str
) -> Iterator[Table]:
    """Return mass and centre of each body, then the same in pounds and inches."""
    metric, imperial = [], []
    for name, body in bodies:
        x, y, z = body.centre
        chord = f"{100 * state.chord.share(x):.1f}" if state.chord else "-"
        metric.append((name, f"{body.mass:.1f}", _whole(x), chord, _whole(y), _whole(z)))
        pounds = f"{body.mass / POUND:.1f}"
        imperial.append((name, pounds, _inches(x), chord, _inches(y), _inches(z)))
    shares, numbers = (0.4, *(0.12,) * 5), tuple(range(1, 6))
    head = (first, "kg", "STA mm", "% chord", "BL mm", "WL mm")
    yield Table(head, rows_of(metric), shares, title, numbers)
    head = (first, "lb", "STA in", "% chord", "BL in", "WL in")
    yield Table(head, rows_of(imperial), shares, IN_POUNDS, numbers)


def _turning(state: BalanceState) -> Iterator[Table]:
    metric, imperial = [], []
    for one in state.loaded:
        tensor = TO_M2 * one.body.tensor
        figures = [tensor[0, 0], tensor[1, 1], tensor[2, 2], tensor[0, 2]]
        name, radii = one.loading.name, one.body.radii
        metric.append((name, *(f"{v:.1f}" for v in figures), *(f"{r:.0f}" for r in radii)))
        slugs, inches = [v / SLUG_FT2 for v in figures], [r / INCH for r in radii]
        imperial.append((name, *(f"{v:.1f}" for v in slugs), *(f"{r:.1f}" for r in inches)))
    shares, numbers = (0.3, *(0.1,) * 7), tuple(range(1, 8))
    of = ("loading", "Ixx", "Iyy", "Izz", "Ixz")
    title = "Inertia about the centre [kg m^2]; radii of gyration"
    yield Table((*of, "roll mm", "pitch mm", "yaw mm"), rows_of(metric), shares, title, numbers)
    title = "The same, inertia in slug ft^2"
    yield Table((*of, "roll in", "pitch in", "yaw in"), rows_of(imperial), shares, title, numbers)


def _ways(ways: list[Shift], aft: LoadedState) -> Table:
    rows = []
    for way in ways:
        if way.unit == "kg":
            rows.append(Row((way.what, kilograms(way.by))))
        else:
            rows.append(Row((way.what, f"{way.by:.0f} mm, {way.by / INCH:.1f} in")))
    title = f"To bring the aft centre ({aft.loading.name}) forward by {STEP:g} mm, one thing alone"
    return Table(("what", "by"), tuple(rows), (0.6, 0.4), title)


def balance_heading(title: str) -> Heading:
    """Return the heading of the sheet."""
    return Heading(f"Mass and balance: {title}")
