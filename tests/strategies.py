"""Random parameter files for property tests: plausible aircraft round a consistent base.

Every strategy starts from the metric example and moves it: all lengths by a scale, everything fore
and aft by a fineness, and single dimensions within ranges in which the parts still meet. A new
parameter gets its line in `_moves`, so that every property is tried on it.
"""

import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from geomgen import units
from geomgen.parameters.editing.writing import toml_of

CONFIG = Path(__file__).parents[1] / "configs" / "saltmarsh.toml"
# Tables in which lengths belong to the shape.
SHAPE = ("pod", "exit", "booms", "wing", "tailplane", "fins", "pylon", "firewall", "scoops")
SHAPE += ("engine", "propeller", "spinner", "gear", "tanks")
# Sheet, skin and gaps do not grow with the aircraft.
FIXED = {"gap", "thickness", "trailing_edge_thickness", "wall", "lip_radius", "bore"}
ALONG = {
    "station",
    "leading_edge",
    "chord",
    "rim_station",
    "mouth",
    "passage_length",
    "fairing_length",
}
ROOTS = ("NACA 4415", "NACA 2415", "NACA 4418", "NACA 23015", "NACA 23018")
TIPS = ("NACA 4412", "NACA 2412", "NACA 23012", "NACA 4415")


def mm(value: float) -> str:
    return f"{round(value, 4)} mm"


def deg(value: float) -> str:
    return f"{round(value, 3)} deg"


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False).map(lambda v: round(v, 4))


def base_tables() -> dict[str, Any]:
    """Return the example's tables, free of files beside it."""
    tables = tomllib.loads(CONFIG.read_text(encoding="utf-8"))
    for section in tables["tailplane"]["sections"]:
        section["aerofoil"] = "NACA 0009"
    return tables


def _scaled(node: Any, scale: float, fineness: float) -> None:
    rows = node.items() if isinstance(node, dict) else enumerate(node)
    for key, value in list(rows):
        if isinstance(value, dict | list):
            _scaled(value, scale, fineness)
        elif isinstance(value, str) and key not in FIXED and value.endswith((" mm", " m")):
            stretch = fineness if key in ALONG else 1.0
            node[key] = mm(units.parse(value, "length") * scale * stretch)


def _lengthen_engine(tables: dict[str, Any], fineness: float) -> None:
    bodies = tables["engine"]["boxes"] + tables["engine"]["cylinders"]
    for body in bodies:
        if body.get("axis", "x") == "x":
            body["length"] = mm(units.parse(body["length"], "length") * fineness)


@st.composite
def shaped(draw: st.DrawFn) -> dict[str, Any]:
    """Scale, fineness, breadth and fullness of the whole."""
    tables = deepcopy(base_tables())
    scale, fineness = draw(between(0.9, 1.15)), draw(between(1.0, 1.1))
    for table in SHAPE:
        _scaled(tables.get(table, {}), scale, fineness)
    _lengthen_engine(tables, fineness)
    wide, upper, lower = (
        draw(between(0.97, 1.12)),
        draw(between(0.38, 0.5)),
        draw(between(0.38, 0.5)),
    )
    for station in tables["pod"]["stations"]:
        # One fullness all along: a lone change between close stations makes the lines bulge.
        station["fullness_upper"], station["fullness_lower"] = upper, lower
    for station in tables["pod"]["stations"][3:-2]:
        station["breadth"] = mm(units.parse(station["breadth"], "length") * wide)
    tables["pod"]["wall"] = mm(draw(between(2.0, 6.0)))
    return tables


@st.composite
def parameter_tables(draw: st.DrawFn) -> dict[str, Any]:
    """Return the tables of a random plausible file."""
    tables = draw(shaped())
    grown = units.parse(tables["spinner"]["diameter"], "length") / 160.0
    _move_bay(draw, tables, grown)
    _move_surfaces(draw, tables, grown)
    _move_propeller(draw, tables, grown)
    _move_pilot(draw, tables)
    _move_legs(draw, tables, grown)
    tables["flight"]["climb_speed"] = f"{draw(between(35, 52))} kt"
    tables["powerplant"]["power"] = f"{draw(between(12, 30))} kW"
    _move_air(draw, tables)
    half_span = units.parse(tables["wing"]["sections"][-1]["buttock_line"], "length")
    for mould in tables["handoff"]["moulds"]:
        if mould["part"] == "wing_tip":
            mould["from_buttock_line"] = mm(half_span - 150 * grown)
    return tables


def _move_bay(draw: st.DrawFn, tables: dict[str, Any], grown: float) -> None:
    firewall, scoop = tables["firewall"], tables["scoops"][0]
    station = units.parse(firewall["station"], "length")
    firewall["station"] = mm(station + draw(between(-30, 20)) * grown)
    firewall["tilt"] = deg(draw(st.sampled_from([0.0, 0.0, 4.0, -3.0, 2.5])))
    firewall["thickness"] = mm(draw(between(0.4, 0.8)))
    firewall["flange"] = mm(draw(st.sampled_from([0.0, 15.0, 25.0])))
    scoop["width"] = mm(draw(between(130, 185)) * grown)
    scoop["height"] = mm(draw(between(45, 60)) * grown)
    scoop["corner_radius"] = mm(draw(between(8, 18)) * grown)
    scoop["wall"] = mm(draw(between(2.5, 4.0)))
    scoop["lip_radius"] = mm(draw(between(0.6, 1.2)))
    scoop["boundary_layer_gap"] = mm(draw(between(3, 12)))
    scoop["clock_angle"] = deg(draw(between(-10, 15)))
    scoop["mouth_ahead"] = mm(draw(between(0, 15)))
    passage = draw(between(235, 290)) * grown
    scoop["passage_length"] = mm(passage)
    scoop["fairing_length"] = mm(passage + draw(between(130, 200)) * grown)


def _move_pilot(draw: st.DrawFn, tables: dict[str, Any]) -> None:
    """Another pilot, moved with stick and pedals, another canopy; sometimes none."""
    pilot, canopy = tables["pilot"], tables["canopy"]
    pilot["percentile"] = draw(st.sampled_from(["50th woman", "50th man", "95th man"]))
    pilot["seat_back_angle"] = deg(draw(between(35, 55)))
    pilot["helmet"], pilot["room"] = mm(draw(between(0, 50))), mm(draw(between(0, 20)))
    for axis, most in (("station", 60), ("waterline", 40)):
        by = draw(between(-most, most))
        for place in ("seat", "hand", "pedal"):
            key = f"{place}_{axis}"
            pilot[key] = mm(units.parse(pilot[key], "length") + by)
    canopy["fore_station"], canopy["fore_sill"] = mm(draw(between(150, 500))), mm(700)
    for table in ("pilot", "canopy"):
        if draw(st.integers(0, 3)) == 0:
            del tables[table]


def _move_surfaces(draw: st.DrawFn, tables: dict[str, Any], grown: float) -> None:
    wing = tables["wing"]
    wing["incidence"] = deg(draw(between(1, 3)))
    root = draw(st.sampled_from(ROOTS))
    wing["sections"][0]["aerofoil"] = wing["sections"][1]["aerofoil"] = root
    tip = wing["sections"][2]
    tip["aerofoil"] = draw(st.sampled_from(TIPS))
    tip["washout"] = deg(draw(between(-1, 4)))
    tip["dihedral"] = deg(draw(between(0, 5)))
    tip["sweep"] = deg(draw(between(-3, 8)))
    tip["chord"] = mm(units.parse(tip["chord"], "length") * draw(between(0.7, 1.1)))
    # Half-way into the thinnest of the roots, so that the pylon never pokes through.
    top = units.parse(wing["waterline"], "length") + 15 * grown
    tables["pylon"]["waterline_high"] = mm(top)
    apart = mm(draw(between(740, 900)) * grown)
    tables["booms"]["buttock_line"] = tables["fins"]["buttock_line"] = apart
    tables["tailplane"]["sections"][1]["buttock_line"] = apart
    tables["fins"]["sections"][1]["sweep"] = deg(draw(between(0, 25)))


def _move_propeller(draw: st.DrawFn, tables: dict[str, Any], grown: float) -> None:
    propeller = tables["propeller"]
    propeller["diameter"] = mm(draw(between(1150, 1350)) * grown)
    propeller["behind_trailing_edge"] = draw(between(0.5, 0.6))
    propeller["thrust_tilt"] = deg(draw(st.sampled_from([0.0, 0.0, 1.0, -1.0])))
    propeller["flex"] = mm(draw(between(0, 20)))
    propeller["mount_travel_radial"] = mm(draw(between(0, 10)))
    tables["spinner"]["length"] = mm(draw(between(120, 240)) * grown)


def _move_legs(draw: st.DrawFn, tables: dict[str, Any], grown: float) -> None:
    leaf, tube = (wheel["leg"] for wheel in tables["gear"]["wheels"])
    for leg in (leaf, tube):
        leg["gap"] = mm(draw(between(0.2, 1.0)))
        leg["axle_diameter"] = mm(draw(between(14, 24)))
        leg["tyre_gap"] = mm(draw(between(5, 20)))
    leaf["buttock_line"] = mm(draw(between(110, 160)) * grown)
    leaf["tip_thickness"] = mm(draw(between(8, 16)) * grown)
    leaf["root_breadth"] = mm(draw(between(75, 110)) * grown)
    tube["diameter"] = mm(draw(between(30, 50)) * grown)


def _move_air(draw: st.DrawFn, tables: dict[str, Any]) -> None:
    """Another mass, glide and way of the cooling air; mostly the air is not worked out."""
    air = tables["air"]
    air["mass"] = f"{draw(between(200, 350))} kg"
    air["propeller_efficiency"] = draw(between(0.4, 0.75))
    air["static_merit"] = draw(between(0.4, 0.8))
    air["glide_speed"] = f"{draw(between(35, 52))} kt"
    air["glide_heat"] = draw(between(0.0, 0.5))
    air["trip"] = mm(draw(between(200, 1500)))
    air["drop_exponent"] = draw(between(1.5, 2.0))
    air["leakage"], air["discharge"] = draw(between(0.0, 0.3)), draw(between(0.7, 1.0))
    if draw(st.integers(0, 3)) != 0:
        del tables["air"]


def parameter_texts() -> st.SearchStrategy[str]:
    """Return TOML text of random plausible files; they need no file beside them."""
    return parameter_tables().map(toml_of)


def drawing_choices() -> st.SearchStrategy[tuple[str, str]]:
    """Return how views stand to each other, and the sheet that they are drawn on."""
    return st.tuples(
        st.sampled_from(["first angle", "third angle"]), st.sampled_from(["A3", "A2", "A1"])
    )


def scales() -> st.SearchStrategy[float]:
    """Return factors of a whole aircraft, for laws of similarity."""
    return between(0.5, 2.0)


def blank_sizes(width: float, height: float) -> st.SearchStrategy[list[tuple[float, float]]]:
    """Return sizes of blanks [mm], now and then larger than a sheet of width x height."""
    side = st.floats(5.0, 1.1 * max(width, height), allow_nan=False)
    return st.lists(st.tuples(side, side.map(lambda s: min(s, 1.1 * height))), max_size=40)


def read_paths() -> st.SearchStrategy[tuple[str | int, ...]]:
    """Return paths that are there in the records of the example."""
    return st.sampled_from(
        [
            ("name",),
            ("pod", "wall"),
            ("pod", "nose"),
            ("pod", "stations", 3, "crown"),
            ("pod", "stations", -1, "fullness_upper"),
            ("exit", "tail_fairing", "stations", 0, "diameter"),
            ("rules", "duct_turn"),
            ("wing", "sections", 2, "aerofoil"),
            ("scoops", 0, "mouth"),
            ("engine", "boxes", 1, "name"),
            ("gear", "wheels", 0, "mirrored"),
            ("gear", "wheels", 1, "leg", "kind"),
            ("joints", 2, "gap"),
            ("handoff", "moulds", 0, "part"),
            ("drawings", "stations"),
            ("propeller", "station"),
            ("air", "propeller_efficiency"),
        ]
    )


# Keys of parts that are made in a moment, with a plausible range each.
QUICK_EDITS = {
    "spinner.length": ("mm", 120, 240),
    "booms.buttock_line": ("mm", 760, 800),
    "booms.stations.2.width": ("mm", 90, 110),
    "fins.sections.1.sweep": ("deg", 0, 20),
    "fins.buttock_line": ("mm", 770, 790),
    "joints.2.gap": ("mm", 0.2, 0.6),
    "engine.boxes.0.length": ("mm", 266, 280),
    "gear.wheels.0.diameter": ("mm", 320, 400),
    "output.mesh_tolerance": ("mm", 0.1, 0.3),
    "propeller.diameter": ("m", 1.2, 1.35),
    "flight.climb_speed": ("kt", 40, 52),
}
EDITS = QUICK_EDITS | {
    "pod.wall": ("mm", 3, 5),
    "pod.stations.5.breadth": ("mm", 590, 606),
    "scoops.0.height": ("mm", 50, 58),
    "scoops.0.wall": ("mm", 3, 4),
    "firewall.station": ("mm", 1790, 1805),
    "firewall.thickness": ("mm", 0.4, 0.8),
    "wing.sections.2.chord": ("mm", 850, 950),
    "pylon.chord": ("mm", 600, 660),
    "gear.wheels.0.leg.root_breadth": ("mm", 80, 100),
    "exit.gap": ("mm", 0.2, 0.5),
    "air.mass": ("kg", 240, 290),
}


def edits(table: dict[str, tuple[str, float, float]]) -> st.SearchStrategy[str]:
    """Return overrides, one number changed each; few values, so that states come back."""

    def of(key: str) -> st.SearchStrategy[str]:
        unit, low, high = table[key]
        shares = st.sampled_from([0.0, 0.25, 0.6, 1.0])
        return shares.map(lambda share: f"{key}={low + share * (high - low):.4g} {unit}")

    return st.sampled_from(sorted(table)).flatmap(of)


def quick_edit_sequences() -> st.SearchStrategy[list[str]]:
    """Return sequences of edits of parts that are made in a moment."""
    return st.lists(edits(QUICK_EDITS), min_size=2, max_size=3)


def edit_sequences() -> st.SearchStrategy[list[str]]:
    """Return sequences of edits of anything."""
    return st.lists(edits(EDITS), min_size=2, max_size=4)


def shifts() -> st.SearchStrategy[tuple[float, float, float]]:
    """Return ways [mm] to move a body of some 60 mm beside or into another."""
    along = between(-120, 120)
    return st.tuples(along, along, along)
