"""The masses of a machine as plain values, for JSON, and back."""

from typing import Any

from geomgen.balance.masses.entries import MassEntry
from geomgen.balance.masses.inertia import RigidBody
from geomgen.balance.masses.loadings import Loading
from geomgen.balance.stability.neutral_point import NeutralPoint
from geomgen.balance.state import BalanceState, LoadedState, MeanChord
from geomgen.balance.wing_loading import WingFigures


def plain(state: BalanceState) -> dict[str, Any]:
    """Return lines, empty machine and loadings as plain values [kg, mm, kg mm2]."""
    chord = state.chord
    return {
        "lines": [_line(line) for line in state.lines],
        "empty": _body(state.empty),
        "empty_as_a_rule_counts": _body(state.limited),
        "empty_band_kg": state.mass_band,
        "mean_chord": None
        if chord is None
        else {"length_mm": chord.length, "leading_edge_mm": chord.leading_edge},
        "neutral_point": None if state.neutral is None else _neutral(state.neutral),
        "no_neutral_point": state.no_neutral,
        "neutral_point_beside": None if state.beside is None else _neutral(state.beside),
        "wing": None if state.wing is None else _wing(state.wing, state.gross),
        "loadings": [_loading(state, one) for one in state.loaded],
        "left_out": dict(state.lost),
    }


def _line(line: MassEntry) -> dict[str, Any]:
    return {
        "name": line.name,
        "group": line.group,
        **_body(line.body),
        "band_kg": line.band,
        "band_cause": line.cause,
        "how": line.how,
        "source": line.source,
        "in_empty_mass": line.empty,
        "limited_by_rule": line.limited,
        "worked_out_kg": line.worked_out,
    }


def _loading(state: BalanceState, one: LoadedState) -> dict[str, Any]:
    chord, station = state.chord, one.body.centre[0]
    margin = None if state.neutral is None else state.neutral.static_margin(station)
    return {
        "name": one.loading.name,
        "named": one.loading.named,
        **_body(one.body),
        "chord_share": chord.share(station) if chord else None,
        "static_margin": None if margin is None else [margin.value, margin.low, margin.high],
        "station_band_mm": state.station_band(one.body, one.loading),
        "carried": [{"name": name, **_body(body)} for name, body in one.loading.bodies],
    }


def _neutral(point: NeutralPoint) -> dict[str, Any]:
    return {
        "station_mm": point.station,
        "band_mm": list(point.band),
        "chord_share": point.in_chords(point.station),
        "tail_volume": point.tail_volume,
        "spreads": [
            {"why": why, "from_mm": low, "to_mm": high} for why, low, high in point.spreads
        ],
        "doubts": list(point.doubts),
        "left_out": list(point.left_out),
        "method": point.source,
        "by": point.by,
    }


def _wing(wing: WingFigures, gross: float | None) -> dict[str, Any]:
    return {
        "area_mm2": wing.area,
        "span_mm": wing.span,
        "mean_aerodynamic_chord_mm": wing.mean_chord,
        "aspect_ratio": wing.aspect_ratio,
        "power_w": wing.power,
        "gross_kg": gross,
        "wing_loading_kg_m2": None if gross is None else wing.wing_loading(gross),
        "power_loading_kg_kw": None if gross is None else wing.power_loading(gross),
    }


def _wing_from(row: dict[str, Any]) -> WingFigures:
    keys = ("area_mm2", "span_mm", "mean_aerodynamic_chord_mm", "aspect_ratio", "power_w")
    return WingFigures(*(float(row[key]) for key in keys))


def _body(body: RigidBody) -> dict[str, Any]:
    tensor = [[float(value) for value in row] for row in body.tensor]
    return {"mass_kg": body.mass, "centre_mm": list(body.centre), "inertia_kg_mm2": tensor}


def from_plain(values: dict[str, Any]) -> BalanceState:
    """Return the state that plain values stand for, without its neutral point.

    KeyError, TypeError or ValueError where they are none.
    """
    chord = values["mean_chord"]
    return BalanceState(
        tuple(_line_from(row) for row in values["lines"]),
        tuple(
            Loading(
                str(row["name"]),
                tuple((str(each["name"]), _body_from(each)) for each in row["carried"]),
                bool(row["named"]),
            )
            for row in values["loadings"]
        ),
        None if chord is None else MeanChord(chord["length_mm"], chord["leading_edge_mm"]),
        None,
        str(values["no_neutral_point"]),
        tuple((str(name), str(why)) for name, why in values["left_out"].items()),
        wing=None if values["wing"] is None else _wing_from(values["wing"]),
    )


def _line_from(row: dict[str, Any]) -> MassEntry:
    known = row["worked_out_kg"]
    return MassEntry(
        str(row["name"]),
        str(row["group"]),
        _body_from(row),
        float(row["band_kg"]),
        str(row["how"]),
        str(row["source"]),
        bool(row["in_empty_mass"]),
        bool(row["limited_by_rule"]),
        None if known is None else float(known),
        str(row["band_cause"]),
    )


def _body_from(row: dict[str, Any]) -> RigidBody:
    x, y, z = (float(value) for value in row["centre_mm"])
    (xx, xy, xz), (_, yy, yz), (_, _, zz) = row["inertia_kg_mm2"]
    half = (xx + yy + zz) / 2
    spread = (half - xx, half - yy, half - zz, -xy, -yz, -xz)
    return RigidBody(float(row["mass_kg"]), (x, y, z), spread)
