"""What is asked of the design and of the shops: rules, flight, meshes, drawings, hand-off."""

from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod

from geomgen import units
from geomgen.parameters.reading.written_key import Slot, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import (
    DRAWN,
    FLANGES,
    GRAINS,
    GROOVES,
    JIG_WAYS,
    LINES,
    RAISED,
    SHOPS,
)
from geomgen.parameters.values.materials import MATERIALS
from geomgen.parameters.values.quantities import Count, SourcedLimit, Within, YesNo

# What has its place worked out with the shape, or is no number.
LEFT = ("from_buttock_line", "count", "machine_length", "start", "end")
# Usual values where the schema gives none.
SPECIAL = {"axial_clearance": "13 mm", "ground_clearance": "0.2 m", "structure_clearance": "60 mm"}
SPECIAL |= {"flat_wrap": 0.005, "climb_pitch": "6 deg"}
SPECIAL |= {"strap_ratio": 12}
SPECIAL |= {"sight_side": "20 deg", "sight_up": "25 deg", "sight_into_turn": "20 deg"}
# Density of the fibre where the file says none [kg/m3]; the shallowest groove [mm].
DENSITY, THIN = 2560.0, 0.1
SOURCES = ("my own hands", "club rule", "the sheet that I have", "14 CFR 23.925")


def asked(d: Dice) -> dict[str, Any]:
    """Return rules, flight, cooling, powerplant and output."""
    climb = d.between(20, 34)
    tables: dict[str, Any] = {
        "flight": {"climb_speed": climb, "level_speed": climb * d.between(1.2, 1.9)},
        "powerplant": {"power": d.between(12e3, 60e3), "rpm": d.between(1900, 3300)},
    }
    if d.chance(0.3):
        tables["flight"]["air_density"] = d.between(1.0, 1.23)
        tables["flight"]["climb_speed_band"] = d.between(1, 4)
    if d.chance(0.4):
        tables["rules"] = _rules(d)
    if d.chance(0.3):
        tables["cooling"] = {
            "heat_fraction": d.between(0.4, 1.0),
            "air_rise": d.between(40, 80),
            "baffle_drop": d.between(80, 400),
        }
    if d.chance(0.5):
        fine, coarse = d.exactly(0.03, 0.08), d.exactly(0.4, 2.0)
        tolerance = d.pick([fine, d.exactly(0.1, 0.4), coarse], [1, 5, 3])
        tables["output"] = {"mesh_tolerance": d.exactly(0.01, 5) if d.wide else tolerance}
    return tables


def _rules(d: Dice) -> dict[str, Any]:
    table: dict[str, Any] = {"clearances": d.pick(["14 CFR 23.925", "CS 22.925"])}
    wishes = {
        "radial_clearance": d.between(20, 60),
        "engine_clearance": d.between(10, 40),
        "duct_turn": d.between(90, 170),
        "firewall_gap": d.between(0.3, 2),
        "tip_mach": round(d.exactly(0.55, 0.8), 2),
        "firewall_mass": d.between(1, 5),
        "firewall_area": d.between(2e5, 7e5),
        "exit_to_inlet": round(d.exactly(0.7, 1.4), 2),
    }
    for key, value in wishes.items():
        if d.chance(0.35):
            sourced = {"value": value, "source": d.pick(SOURCES)}
            table[key] = sourced if d.chance(0.5) else value
    return table


def varied(d: Dice, tables: dict[str, Any]) -> dict[str, Any]:
    """Return the tables with keys about shops and rules that were left out, off their defaults."""
    found = dict(tables)
    if d.chance(0.15):
        found["firewall"] = found["firewall"] | {"density": d.between(4e3, 8e3)}
    for key in ("rules", "cooling", "flight", "handoff"):
        if key in found:
            found[key] = _varied(d, found[key], slot_of(Parameters.model_fields[key]))
    return found


def _varied(d: Dice, table: dict[str, Any], slot: Slot) -> dict[str, Any]:
    assert slot.record is not None
    found = dict(table)
    for key, field in slot.record.model_fields.items():
        inner = slot_of(field)
        if inner.record is not None and isinstance(found.get(key), dict):
            found[key] = _varied(d, found[key], inner)
        elif inner.record is not None and isinstance(found.get(key), list):
            found[key] = [_varied(d, row, inner) for row in found[key]]
        elif key not in found and key not in LEFT and d.chance(0.15):
            usual = field.default["value"] if isinstance(field.default, dict) else field.default
            value = _near(d, inner.reader, SPECIAL.get(key, usual))
            if value is not None:
                found[key] = value
    return found


def _near(d: Dice, reader: Any, usual: Any) -> Any:
    """Return a value near the usual one and in its range; None where there is none."""
    if isinstance(reader, YesNo):
        return d.chance(0.5)
    if isinstance(reader, Count):
        return d.whole(max(reader.low, usual - 4), min(reader.high, usual + 8))
    if not isinstance(reader, Within | SourcedLimit) or not isinstance(usual, str | int | float):
        return None
    low, high = (units.parse(text, reader.dimension) for text in (reader.low, reader.high))
    number = units.parse(usual, reader.dimension)
    value = number * d.exactly(0.8, 1.25) if number else low + 0.01 * (high - low)
    edge = 0.02 * (high - low)
    return min(max(value, low), high - edge)


def drawings(d: Dice, pod: Pod) -> dict[str, Any] | None:
    """Return how the machine is to be drawn; None for the usual."""
    if d.chance(0.7):
        return None
    table: dict[str, Any] = {
        "projection": d.pick(["first angle", "third angle"]),
        "sheet": d.pick(["A4", "A3", "A2", "A1", "A0"]),
    }
    if d.chance(0.5):
        table["stations"] = [
            pod.at(share) for share in sorted(d.exactly(0.1, 0.95) for _ in range(3))
        ]
    if d.chance(0.5):
        table["lengths"] = d.pick(["mm", "in / mm"])
    return table


def handoff(
    d: Dice,
    pod: Pod,
    half_span: float,
    scoops: list[str],
    rim: dict[str, Any] | None,
    flanged: bool,
) -> dict[str, Any] | None:
    """Return what the shops are asked for; None for nothing."""
    if d.chance(0.65):
        return None
    table: dict[str, Any] = {"laminate": {"plies": [_ply(d) for _ in range(d.whole(1, 4))]}}
    parts = ["pod", "wing_tip", *(f"scoop_{name}" for name in scoops)]
    if rim:
        parts += ["exit"] + ["tail_fairing"] * ("tail_fairing" in rim)
    moulds = [_mould(d, part, half_span) for part in parts if d.chance(0.4)]
    if moulds:
        table["moulds"] = moulds
    if d.chance(0.5):
        foam: dict[str, Any] = {"slab": d.between(40, 160), "split_at_centre": d.chance(0.6)}
        if d.chance(0.3):
            foam |= {"start": pod.at(d.exactly(0.05, 0.2)), "end": pod.at(d.exactly(0.7, 0.95))}
        table["foam"] = foam
    if d.chance(0.5):
        cap = {"at": d.exactly(0.25, 0.4), "width": d.between(20, 60), "depth": d.between(1, 5)}
        caps = [cap | {"side": side} for side in ("upper", "lower") if d.chance(0.5)]
        table["cores"] = {"kerf": d.between(0.4, 1.5)} | ({"caps": caps} if caps else {})
        if d.chance(0.3):
            table["cores"]["bow"] = d.between(900, 3000)
    if d.chance(0.5):
        table["sheet"] = {"inside_radius": d.between(0.8, 3)}
    if d.chance(0.5):
        table["ply"] = {"grain": d.pick(GRAINS), "gap": d.between(5, 20)}
        kinds = ("frames", "ribs", "webs", "straps")
        table["ply"] |= {f"grain_{kind}": d.pick(GRAINS) for kind in kinds if d.chance(0.4)}
        if d.chance(0.3):
            price = f"{d.exactly(1, 90):.2f} {d.pick(['shells', 'of ours'])}"
            table["prices"] = [{"stock": "birch plywood sheet, 3 mm", "price": price}]
    if d.chance(0.4):
        table["paper"] = {"size": d.pick(["A4", "Letter"])}
        if d.chance(0.5):
            table["paper"]["lengths"] = d.pick(["mm", "in / mm"])
        if d.chance(0.5):
            table["paper"]["tiles"] = [shop for shop in SHOPS if d.chance(0.5)]
    if "sheet" in table:
        way = d.pick(FLANGES, [6, 1, 1])
        table["sheet"]["flange"] = way if flanged else FLANGES[0]
        if d.chance(0.4):
            table["sheet"]["ring_width"] = d.between(30, 60)
    for row in moulds:
        if d.chance(0.2):
            row["lines"] = d.pick(LINES)
        if row.get("lines") in (GROOVES, RAISED):
            row |= _groove(d, table["laminate"]["plies"])
    if d.chance(0.2):
        table["stock"] = _stock(d)
    return table


def _groove(d: Dice, plies: list[dict[str, Any]]) -> dict[str, Any]:
    """Return a groove that the skin can take; lines on the drawing alone where it is too thin."""
    each = (ply["count"] * ply["areal_weight"] / ply["fibre_volume_fraction"] for ply in plies)
    most = 0.9 * sum(each) * 1000 / DENSITY
    if most < THIN:
        return {"lines": DRAWN}
    return {"line_depth": d.exactly(THIN, min(most, 3.0)), "line_width": d.exactly(0.3, 2)}


def jig(d: Dice) -> dict[str, Any]:
    """Return how frames are set up, for who has some and the ply shop."""
    table: dict[str, Any] = {"way": d.pick(JIG_WAYS)}
    sizes = {"leg_spacing": (80, 500), "leg_width": (20, 80), "clearance": (0, 400)}
    return table | {key: d.between(*size) for key, size in sizes.items() if d.chance(0.6)}


def _stock(d: Dice) -> dict[str, Any]:
    """Return what a builder has, large enough for most pieces."""
    block = ("length", "width", "height")
    blocks = {
        name: {side: d.between(1500, 4000) for side in block}
        for name in ("router", "foam_block", "car")
    }
    board = {side: d.between(1500, 4000) for side in block[:2]}
    sheets = [
        {
            "material": material,
            "thickness": d.between(1, 6),
            "length": d.between(1500, 4000),
            "width": d.between(1500, 4000),
            "allowance": d.exactly(0.0, 0.3),
        }
        for material in MATERIALS
        if d.chance(0.3)
    ]
    return {**blocks, "board": board, "wire_bow": d.between(1500, 4000), "sheets": sheets}


def _ply(d: Dice) -> dict[str, Any]:
    return {
        "cloth": d.pick(["glass twill", "glass plain", "carbon twill", "aramid"]),
        "areal_weight": d.between(0.08, 0.6),
        "fibre_volume_fraction": d.exactly(0.3, 0.45),
        "count": d.whole(1, 3),
    }


def _mould(d: Dice, part: str, half_span: float) -> dict[str, Any]:
    row: dict[str, Any] = {
        "part": part,
        "treatment": d.pick(["plug_outside", "core_minus_skin", "male_mould"]),
    }
    if part == "wing_tip":
        row["from_buttock_line"] = 0.93 * half_span
    if d.chance(0.3):
        row["split"] = d.pick(["centre plane", "maximum breadth"])
    if d.chance(0.3):
        row["machine_length"] = d.between(700, 1800)
    return row
