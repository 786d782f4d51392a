"""Whether the bands hold what finer panels say: drawn machines on three sets of panels.

In tests/, `python -m measurements.outside_air.test_convergence` makes the table of RESULTS.md.
"""

import random
from collections import defaultdict
from dataclasses import replace

import pytest
from measurements.outside_air.test_questions import model
from plain_machines import RIM, about, climb, wing

from geomgen.measurements.outside_air import questions
from geomgen.measurements.outside_air.said import NAME
from geomgen.measurements.question import from_text, text_of
from geomgen.measurements.subject import Answered

FINEST, MACHINES = 1.8, 12
# How many panels there are, and where on them the air is told of, are no figures of the flow.
NO_BAND = ("air.panels", "air.spot", "pod.separation")
STATES = (climb(lift=1500.0), climb(name="level", speed=33.0, lift=1500.0, thrust=300.0))


def drawn(seed):
    """Return a machine by its number: wing over or through the pod, mostly with a tailplane."""
    chance = random.Random(seed)
    span, height = chance.uniform(2800, 4600), chance.choice([(420, 800), (-100, 150)])
    at = chance.uniform(-700, 100), chance.uniform(*height)
    made = about(disc=RIM + chance.uniform(150, 400), radius=chance.uniform(500, 750))
    meshes = {
        **made.meshes,
        "wing": wing(
            *(chance.uniform(0.10, 0.17), chance.uniform(600, 1100), span, at),
            **{"tip": chance.uniform(0.6, 1.0), "incidence": chance.uniform(0, 4)},
        ),
    }
    families = dict(made.families)
    if chance.random() < 0.7:
        behind = chance.uniform(2300, 3200), chance.uniform(200, 900)
        chord, half = chance.uniform(450, 650), chance.uniform(900, 1500)
        meshes["tailplane"] = wing(0.1, chord, half, behind)
        families["tailplane"] = "tailplane"
    return replace(made, meshes=meshes, families=families)


def said_at(machine, fine):
    """Return what is said of a machine on panels of a fineness, by id."""
    made = model(machine, STATES)
    kept = questions.FINE
    questions.FINE = fine
    try:
        answer = from_text(text_of(questions._told(machine, made)))
    finally:
        questions.FINE = kept
    found = questions.AIR_OUTSIDE.say(Answered(made, (), {NAME: answer}))
    return {m.id: m for m in found if not m.id.endswith("_left") and not m.id.startswith(NO_BAND)}


def beside_finest(seeds):
    """Return by kind of figure (value, bound, finest value) of each machine."""
    rows = defaultdict(list)
    for seed in seeds:
        usual, finest = (said_at(drawn(seed), n) for n in (questions.FINE, FINEST))
        for id_ in usual.keys() & finest.keys():
            one, other = usual[id_], finest[id_]
            if one.value is not None and other.value is not None:
                kind = id_.removesuffix(".scoop_a_right")
                rows[kind].append((one.value, one.error_bound, other.value))
    return rows


def holds(row):
    value, bound, finest = row
    return abs(finest - value) <= bound + 1e-12


def told(rows):
    """Return lines of the table: figure, how many, held, the worst over its bound."""
    for kind, each in sorted(rows.items()):
        held = sum(map(holds, each))
        worst = max(each, key=lambda row: abs(row[2] - row[0]) / max(row[1], 1e-9))
        value, bound, finest = worst
        yield f"| {kind} | {held} of {len(each)} | {value:.4g} +/- {bound:.3g}, {finest:.4g} |"


@pytest.mark.long
def test_bands_hold_what_finer_panels_say():
    rows = beside_finest(range(MACHINES))
    every = [row for each in rows.values() for row in each]
    assert len(every) > 5 * MACHINES
    assert sum(map(holds, every)) >= 0.95 * len(every), "\n".join(told(rows))
    for kind in ("inlet.pressure", "inlet.slow_layer", "exit.pressure", "wing.neutral_point"):
        assert sum(map(holds, rows[kind])) >= 0.9 * len(rows[kind]), "\n".join(told(rows))


if __name__ == "__main__":
    print("\n".join(told(beside_finest(range(MACHINES)))))
