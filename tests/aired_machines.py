"""Machines for the tests of the air: what a survey tells of it, by hand, no solids."""

from pathlib import Path

from geomgen.measurements.record import Measurement
from geomgen.parameters import load

CONFIGS = Path(__file__).parents[1] / "configs"
MOUTH = "scoop_cheek_right"
# Half the squares of 45 and 54 kt, the speeds of the file [m2/s2].
CLIMB, LEVEL = 267.96125, 385.8642
# By state: half the speed squared [m2/s2], thrust [N], pressure outside the exit [Pa].
STATES = {
    "climb": (CLIMB, 570.0, -80.0),
    "level": (LEVEL, 475.0, -40.0),
    "glide": (CLIMB, 0.0, 60.0),
    "standing": (0.0, 900.0, -110.0),
}
# Along the pod: stations, waterlines [mm], pressure coefficients [1].
LINES = {
    "crown": ((0.0, 500.0, 1000.0, 1500.0, 2000.0), (700.0, 1000.0, 1200.0, 1150.0, 950.0),
              (0.98, -0.1, 0.3, -0.4, -0.2)),
    "side": ((0.0, 1000.0, 2000.0), (700.0, 720.0, 760.0), (0.98, -0.1, -0.2)),
    "keel": ((0.0, 1000.0, 2000.0), (690.0, 350.0, 600.0), (0.98, -0.15, -0.1)),
}  # fmt: skip


def machine(*overrides):
    return load(CONFIGS / "saltmarsh.toml", list(overrides))


def _flown(name, layer, without):
    ram, thrust, rim = STATES[name]
    figures = {"ram": ram, "thrust": thrust, "rim": rim, "rim off": 5.0}
    if ram:
        figures |= {f"pressure {MOUTH}": 0.1, f"speed {MOUTH}": 0.9**0.5}
        figures |= {f"height {MOUTH}": 60.0, f"gap {MOUTH}": 1.0, f"angle {MOUTH}": 7.0}
        figures |= {f"mouth station {MOUTH}": 1800.0, "rim station": 2999.0}
        figures |= {"crown leaves": 1900.0, "side stays": 2000.0}
        if layer:
            figures |= {f"layer {MOUTH}": 12.0, f"least layer {MOUTH}": 6.0}
            figures |= {f"most layer {MOUTH}": 30.0, f"least slow {MOUTH}": 0.05}
            figures |= {f"slow {MOUTH}": 0.1, f"most slow {MOUTH}": 0.2}
            # 0.9 of the ram pressure moves past; the cosine of 7 deg squared is 0.985148.
            figures |= {f"least caught {MOUTH}": 1 - 0.9 * (1 - 0.8 * 0.98514786)}
            figures |= {f"caught {MOUTH}": 1 - 0.9 * (1 - 0.9 * 0.98514786)}
            figures |= {f"most caught {MOUTH}": 1 - 0.9 * 0.05}
        for line, rows in LINES.items():
            for at, row in enumerate(zip(*rows, strict=True), 1):
                figures |= {
                    f"{line} {what} {at}": value
                    for what, value in zip(("station", "waterline", "pressure"), row, strict=True)
                }
    kept = tuple((key, value) for key, value in figures.items() if key not in without)
    where = "900 panels, 500 to tell how far off"
    return Measurement(f"air.{name}", "pod", "attack", 4.0, "deg", "m", 0.3, where, further=kept)


def measured(layer=True, without=()):
    """Return what is told of the air, and of the way through: mouths, passages, exit."""
    found = [_flown(name, layer, without) for name in STATES]
    for part in (MOUTH, "scoop_cheek_left"):
        found += [
            Measurement(f"inlet.area.{part}", part, "", 9300.0, "mm2", ""),
            Measurement(f"duct.throat_area.{part}", part, "", 9300.0, "mm2", ""),
            Measurement(f"duct.turn_angle.{part}", part, "", 110.0, "deg", ""),
            Measurement(
                f"inlet.pressure.{part}", part, "", 0.91 if layer else None, "1", "",
                points=((1650.0, 290.0, 830.0),),
            ),
            Measurement(
                f"inlet.slow_layer.{part}", part, "", 0.2 if layer else None, "1", "",
                note="" if layer else "climb: the air has left the skin",
            ),
        ]  # fmt: skip
    return [
        *found,
        Measurement("exit.way", "exit", "", 14700.0, "mm2", ""),
        Measurement("wing.neutral_point", "wing", "", 1630.0, "mm", "", 19.0),
        Measurement("pod.separation", "pod", "", 1900.0, "mm", "", None, "on the crown"),
        *spots(),
        panels(),
    ]


def spots():
    """Return places that were looked at: a good one, and one on the canopy."""
    for number, (line, at, glass) in enumerate(
        (("side", (1200.0, 290.0, 720.0), 0.0), ("crown", (600.0, 40.0, 1050.0), 1.0)), 1
    ):
        figures = {"glass": glass, "turn": 35.0, "way": 1000.0, "near wing": 400.0}
        for state in ("climb", "level"):
            figures |= {f"pressure {state}": -0.1, f"speed {state}": 1.05, f"shape {state}": 1.4}
            figures |= {f"least thick {state}": 3.0, f"thick {state}": 4.0}
            figures |= {f"most thick {state}": 9.0}
        yield Measurement(
            f"air.spot.{line}.{number}", "pod", "", at[0], "mm", "", points=(at,),
            further=tuple(figures.items()),
        )  # fmt: skip


def panels():
    """Return two panels of the pod, a square and a triangle, and one of the wing that is unsure."""
    rows = [
        ("points pod", (0.0, 0.0, 0.0, 100.0, 0.0, 0.0, 100.0, 100.0, 0.0, 0.0, 100.0, 0.0)),
        ("pieces pod", (0.0, 1.0, 2.0, 3.0, 0.0, 1.0, 2.0, 2.0)),
        ("kinds pod", (0.0, 2.0)),
        ("sides pod", (1.0, 1.0)),
        ("points wing", (0.0, 200.0, 0.0, 100.0, 200.0, 0.0, 100.0, 300.0, 0.0)),
        ("pieces wing", (0.0, 1.0, 2.0, 2.0)),
        ("kinds wing", (1.0,)),
        ("sides wing", (1.0, 1.0)),
    ]
    for state, pod, wing in (("climb", (0.5, -0.25), -2.0), ("level", (0.25, 0.0), -1.0),
                             ("glide", (0.125, 0.0), -1.5)):  # fmt: skip
        rows += [(f"{state} pod", pod), (f"{state} wing", (wing,))]
    return Measurement("air.panels", "pod", "", 3.0, "1", "", rows=tuple(rows))
