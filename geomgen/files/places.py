"""The plain geometry beside the solids, to disk and back: where a set has to be measured.

With it a set is measured again from its own files, without building anything anew.
"""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

from geomgen.errors import FileWriteError
from geomgen.files.disk import write_bytes
from geomgen.kernel.model import Model
from geomgen.kernel.plain import (
    AssemblyPlan,
    Axis,
    BoltedPlate,
    Fitting,
    FlatSheet,
    FlightState,
    Glass,
    GlazedSkin,
    Ground,
    HandWay,
    Inlay,
    KeptFree,
    Limb,
    Opening,
    Passage,
    PinJoint,
    Plane,
    Shake,
    Strut,
    TankRoom,
    vec,
)

NAME = "places.json"


def write_places(folder: Path, model: Model) -> Path:
    """Write `places.json`; FileWriteError when that fails."""
    path = folder / NAME
    text = json.dumps(plain(model), indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(path, text.encode("ascii"))
    return path


def plain(model: Model) -> dict[str, Any]:
    """Return everything of a model but its solids, as plain values."""
    return {
        "parts": list(model.parts),
        "families": model.families,
        "colours": {name: list(colour) for name, colour in model.colours.items()},
        "swept": model.swept,
        "rotating": list(model.rotating),
        "on_engine": list(model.on_engine),
        "joint_gap": model.joint_gap,
        "joint_gaps": [list(row) for row in model.joint_gaps],
        "thrust_line": None if model.thrust_line is None else asdict(model.thrust_line),
        "shake": asdict(model.shake),
        "passages": [asdict(passage) for passage in model.passages],
        "exits": [asdict(opening) for opening in model.exits],
        "grounds": [asdict(ground) for ground in model.grounds],
        "struts": [asdict(strut) for strut in model.struts],
        "firewall_plane": None if model.firewall_plane is None else asdict(model.firewall_plane),
        "firewall_seed": model.firewall_seed,
        "fittings": [asdict(fitting) for fitting in model.fittings],
        # Sets without others keep the bytes that they always had.
        **(
            {"sheets": {name: asdict(s) for name, s in model.sheets.items()}}
            if model.sheets
            else {}
        ),
        "pilot": [asdict(limb) for limb in model.pilot],
        "eye": model.eye,
        **({"other_eyes": model.other_eyes} if model.other_eyes else {}),
        "glass": None if model.glass is None else asdict(model.glass),
        **({"glazed_skin": asdict(model.glazed_skin)} if model.glazed_skin else {}),
        "climb_pitch": model.climb_pitch,
        "notices": list(model.notices),
        "uncut": {name: [list(end) for end in ends] for name, ends in model.uncut.items()},
        "weighed": list(model.weighed),
        "wheels": model.wheels,
        "flights": [asdict(state) for state in model.flights],
        "trip": model.trip,
        **({"inlays": [asdict(inlay) for inlay in model.inlays]} if model.inlays else {}),
        **({"bolted": {n: asdict(b) for n, b in model.bolted.items()}} if model.bolted else {}),
        **({"pin_joints": [asdict(j) for j in model.pin_joints]} if model.pin_joints else {}),
        **({"kept_free": [asdict(k) for k in model.kept_free]} if model.kept_free else {}),
        **({"hand_ways": [asdict(way) for way in model.hand_ways]} if model.hand_ways else {}),
        **({"assembly": asdict(model.assembly)} if model.assembly else {}),
        **(
            {"tank_rooms": {n: asdict(r) for n, r in model.tank_rooms.items()}}
            if model.tank_rooms
            else {}
        ),
    }


def read_places(folder: Path) -> tuple[Model, tuple[str, ...]]:
    """Return a model that has no solids yet, and the names of its parts.

    FileWriteError when the file is missing or not one of geomgen's.
    """
    path = folder / NAME
    try:
        content = json.loads(path.read_bytes())
        return model_from(content), tuple(str(name) for name in content["parts"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise FileWriteError(
            "the places to measure can't be read", path=path.name, advice="build the set again"
        ) from error


def model_from(content: dict[str, Any]) -> Model:
    """Return the model without solids that plain values stand for; KeyError, TypeError if none."""
    line = content["thrust_line"]
    return Model(
        families=dict(content["families"]),
        colours={name: vec(colour) for name, colour in content["colours"].items()},
        swept=content["swept"],
        rotating=tuple(content["rotating"]),
        on_engine=tuple(str(family) for family in content["on_engine"]),
        joint_gap=float(content["joint_gap"]),
        joint_gaps=tuple((str(a), str(b), float(gap)) for a, b, gap in content["joint_gaps"]),
        thrust_line=None if line is None else Axis(vec(line["origin"]), vec(line["direction"])),
        shake=Shake(float(content["shake"]["axial"]), float(content["shake"]["radial"])),
        passages=[_passage(row) for row in content["passages"]],
        exits=[_opening(row) for row in content["exits"]],
        grounds=[
            Ground(row["name"], _plane(row["plane"]), row["note"], str(row["bottomed"]))
            for row in content["grounds"]
        ],
        struts=[_strut(row) for row in content["struts"]],
        firewall_plane=_plane(content["firewall_plane"]) if content["firewall_plane"] else None,
        firewall_seed=vec(content["firewall_seed"]) if content["firewall_seed"] else None,
        fittings=[_fitting(row) for row in content["fittings"]],
        sheets={str(name): _sheet(row) for name, row in content.get("sheets", {}).items()},
        pilot=[_limb(row) for row in content["pilot"]],
        eye=vec(content["eye"]) if content["eye"] else None,
        other_eyes={str(who): vec(eye) for who, eye in content.get("other_eyes", {}).items()},
        glass=_glass(content["glass"]) if content["glass"] else None,
        glazed_skin=_skin(content["glazed_skin"]) if content.get("glazed_skin") else None,
        climb_pitch=None if content["climb_pitch"] is None else float(content["climb_pitch"]),
        notices=tuple(str(notice) for notice in content["notices"]),
        uncut={
            str(name): (vec(left), vec(right)) for name, (left, right) in content["uncut"].items()
        },
        weighed=tuple(str(name) for name in content["weighed"]),
        wheels={str(name): str(role) for name, role in content["wheels"].items()},
        flights=tuple(FlightState(**row) for row in content["flights"]),
        trip=None if content["trip"] is None else float(content["trip"]),
        inlays=tuple(
            Inlay(str(row["name"]), str(row["host"])) for row in content.get("inlays", ())
        ),
        bolted={str(name): _bolted(row) for name, row in content.get("bolted", {}).items()},
        pin_joints=tuple(map(_pin_joint, content.get("pin_joints", ()))),
        kept_free=tuple(_kept_free(row) for row in content.get("kept_free", ())),
        hand_ways=tuple(
            HandWay(str(r["name"]), vec(r["start"]), vec(r["end"]), str(r["through"]))
            for r in content.get("hand_ways", ())
        ),
        assembly=_assembly(content["assembly"]) if content.get("assembly") else None,
        tank_rooms={
            str(name): TankRoom(
                float(r["gap"]), _names(r["rests_on"]), str(r["out"]), _names(r["off"])
            )
            for name, r in content.get("tank_rooms", {}).items()
        },
    )


def _assembly(row: dict[str, Any]) -> AssemblyPlan:
    split = None if row["split"] is None else _plane(row["split"])
    return AssemblyPlan(split, _names(row["order"]), _names(row["in_place"]))


def _names(row: Any) -> tuple[str, ...]:
    return tuple(str(name) for name in row)


def _plane(row: dict[str, Any]) -> Plane:
    return Plane(vec(row["origin"]), vec(row["normal"]))


def _strut(row: dict[str, Any]) -> Strut:
    return Strut(
        str(row["wheel"]),
        vec(row["axle"]),
        tuple((str(name), float(rise)) for name, rise in row["rises"]),
        float(row["travel"]),
        str(row["leg"]),
        None if row["root"] is None else vec(row["root"]),
        str(row["rooted_in"]),
        float(row["flat"]),
    )


def _fitting(row: dict[str, Any]) -> Fitting:
    axis = Axis(vec(row["axis"]["origin"]), vec(row["axis"]["direction"]))
    return Fitting(str(row["use"]), axis, float(row["radius"]))


def _sheet(row: dict[str, Any]) -> FlatSheet:
    return FlatSheet(
        _plane(row["plane"]), vec(row["up"]), float(row["thickness"]), str(row["part"]),
        tuple(_plane(plane) for plane in row["within"]),
        tuple(_plane(plane) for plane in row["ends"]),
    )  # fmt: skip


def _bolted(row: dict[str, Any]) -> BoltedPlate:
    sizes = float(row["thickness"]), float(row["gap"])
    return BoltedPlate(_plane(row["plane"]), vec(row["up"]), *sizes)


def _pin_joint(row: dict[str, Any]) -> PinJoint:
    ways = vec(row["way"]), vec(row["pins_along"])
    words = str(row["name"]), str(row["hand"]), str(row["host"])
    rest = (
        float(row[k])
        for k in ("skin_gap", "seat", "socket_diameter", "socket_length", "opening_from")
    )
    return PinJoint(*words, float(row["gap"]), _plane(row["parting"]), *ways, *rest)


def _kept_free(row: dict[str, Any]) -> KeptFree:
    box = None if row["box"] is None else (vec(row["box"][0]), vec(row["box"][1]))
    rods = tuple(_limb(rod) for rod in row["rods"])
    return KeptFree(str(row["name"]), box, rods, tuple(str(one) for one in row["through"]))


def _limb(row: dict[str, Any]) -> Limb:
    radii = float(row["start_radius"]), float(row["end_radius"])
    return Limb(str(row["name"]), vec(row["start"]), vec(row["end"]), *radii)


def _glass(row: dict[str, Any]) -> Glass:
    return Glass(*(float(row[key]) for key in ("fore", "aft", "fore_sill", "aft_sill")))


def _skin(row: dict[str, Any]) -> GlazedSkin:
    outer, inner = (
        tuple(tuple(vec(point) for point in line) for line in row[side])
        for side in ("outer", "inner")
    )
    return GlazedSkin(outer, inner)


def _opening(row: dict[str, Any]) -> Opening:
    reach, joint = float(row["reach"]), float(row["joint"])
    return Opening(row["name"], _plane(row["plane"]), vec(row["seed"]), reach, joint)


def _passage(row: dict[str, Any]) -> Passage:
    return Passage(
        row["name"],
        _opening(row["mouth"]),
        tuple(_opening(throat) for throat in row["throats"]),
        vec(row["into_bay"]),
        _plane(row["fan"]) if row["fan"] else None,
    )
