"""The mass and balance sheet: tables and words for screen, page and PDF, metric and imperial."""

from collections.abc import Iterator, Sequence

from geomgen.balance.masses.entries import ITEM
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
    blocks: list[Block] = [Notice(CAUTION), _lines(state), *_said_of_lines(state), _empty(state)]
    if state.wing is not None:
        blocks.append(_wing(state.wing, state.gross))
    if state.neutral is not None or not stored:
        blocks += [Words(""), *_neutral(state)]
    if state.loaded:
        blocks.append(_loadings(state))
        blocks.append(_turning(state))
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


def _lines(state: BalanceState) -> Table:
    rows = []
    for line in state.lines:
        x, y, z = line.body.centre
        how = line.how if line.how != ITEM else line.group
        if line.worked_out is not None:
            how += f" (worked out: {line.worked_out:.3f} kg)"
        if not line.empty:
            how += "; not in the empty mass"
        elif not line.limited:
            how += "; a rule's empty mass leaves it out"
        rows.append(
            (
                line.name,
                f"{line.body.mass:.3f}",
                f"{line.body.mass / POUND:.2f}",
                _whole(x),
                f"{x / INCH:.1f}",
                _whole(y),
                _whole(z),
                f"{line.body.mass * x / 1000:.2f}",
                f"{line.band:.2f}",
                how,
            )
        )
    head = ("item", "kg", "lb", "STA mm", "STA in", "BL mm", "WL mm", "kg m", "+/- kg", "how")
    shares = (0.21, 0.07, 0.07, 0.07, 0.07, 0.06, 0.06, 0.07, 0.06, 0.26)
    return Table(head, rows_of(rows), shares, "What it is made of", tuple(range(1, 9)))


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
    for line in state.lines:
        by.setdefault(line.source, []).append(line.name)
    told = [f"{', '.join(names)}: {source}" for source, names in by.items()]
    return Words(f"Where the masses come from. {'. '.join(told)}.", small=True, hang=0)


def _said_of_lines(state: BalanceState) -> Iterator[Block]:
    yield _sources(state)
    for name, why in state.lost:
        yield Words(f"{name}: {why}", "lost")


def _empty(state: BalanceState) -> Table:
    rows = [
        ("empty, with all safety devices", *_centre_cells(state, state.empty)),
        ("empty, as a rule counts it", *_centre_cells(state, state.limited)),
    ]
    title = (
        f"Empty machine; all bands together +/- {state.mass_band:.2f} kg, "
        f"+/- {state.station_band(state.empty):.0f} mm of station"
    )
    return _table("machine", rows, title)


def _loadings(state: BalanceState) -> Table:
    rows = [(one.loading.name, *_centre_cells(state, one.body)) for one in state.loaded]
    return _table("loading", rows, "Loadings: all combinations of the extremes, then by name")


def _centre_cells(state: BalanceState, body: RigidBody) -> tuple[str, ...]:
    x, y, z = body.centre
    chord = f"{100 * state.chord.share(x):.1f}" if state.chord else "-"
    return (
        f"{body.mass:.1f}", f"{body.mass / POUND:.1f}", _whole(x), f"{x / INCH:.1f}", chord,
        _whole(y), _whole(z), f"{z / INCH:.1f}",
    )  # fmt: skip


def _table(first: str, rows: list[tuple[str, ...]], title: str) -> Table:
    head = (first, "kg", "lb", "STA mm", "STA in", "% chord", "BL mm", "WL mm", "WL in")
    shares = (0.32, 0.085, 0.085, 0.085, 0.085, 0.085, 0.085, 0.085, 0.085)
    return Table(head, rows_of(rows), shares, title, tuple(range(1, 9)))


def _turning(state: BalanceState) -> Table:
    rows = []
    for one in state.loaded:
        tensor, radii = TO_M2 * one.body.tensor, one.body.radii
        ixx, iyy, izz, ixz = tensor[0, 0], tensor[1, 1], tensor[2, 2], tensor[0, 2]
        figures = [f"{value:.1f}" for value in (ixx, iyy, izz, ixz)]
        slugs = " / ".join(f"{value / SLUG_FT2:.1f}" for value in (ixx, iyy, izz))
        rows.append((one.loading.name, *figures, slugs, *(f"{r:.0f}" for r in radii)))
    head = (
        *("loading", "Ixx", "Iyy", "Izz", "Ixz", "slug ft^2"),
        *("roll mm", "pitch mm", "yaw mm"),
    )
    shares = (0.30, 0.08, 0.08, 0.08, 0.08, 0.14, 0.08, 0.08, 0.08)
    title = "Inertia about the centre [kg m^2], in slug ft^2 beside; radii of gyration"
    return Table(head, rows_of(rows), shares, title, tuple(range(1, 9)))


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
