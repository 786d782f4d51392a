"""The masses of a machine as plain values, for JSON."""

from typing import Any

from geomgen.balance.inertia import RigidBody
from geomgen.balance.state import BalanceState


def plain(state: BalanceState) -> dict[str, Any]:
    """Return lines, empty machine and loadings as plain values [kg, mm, kg mm2]."""
    chord = state.chord
    return {
        "lines": [
            {
                "name": line.name,
                "group": line.group,
                **_plain(line.body),
                "band_kg": line.band,
                "how": line.how,
                "source": line.source,
                "in_empty_mass": line.empty,
                "limited_by_rule": line.limited,
                "worked_out_kg": line.worked_out,
            }
            for line in state.lines
        ],
        "empty": _plain(state.empty),
        "empty_as_a_rule_counts": _plain(state.limited),
        "empty_band_kg": state.mass_band,
        "mean_chord": None
        if chord is None
        else {"length_mm": chord.length, "leading_edge_mm": chord.leading_edge},
        "loadings": [
            {
                "name": one.loading.name,
                "named": one.loading.named,
                **_plain(one.body),
                "chord_share": chord.share(one.body.centre[0]) if chord else None,
                "station_band_mm": state.station_band(one.body),
                "carried": [{"name": name, **_plain(body)} for name, body in one.loading.bodies],
            }
            for one in state.loaded
        ],
        "no_mass_given_for": list(state.silent),
        "not_measured": dict(state.lost),
    }


def _plain(body: RigidBody) -> dict[str, Any]:
    tensor = [[float(value) for value in row] for row in body.tensor]
    return {"mass_kg": body.mass, "centre_mm": list(body.centre), "inertia_kg_mm2": tensor}
