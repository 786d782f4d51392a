"""Targets of the assembled machine: what is said where a file leaves a figure open."""

from pathlib import Path

from geomgen.parameters import load
from geomgen.sizing.targets import figures

CONFIGS = Path(__file__).parents[2] / "configs"


def bank(*overrides):
    every = figures(load(CONFIGS / "hayfield.toml", list(overrides)))
    return next(target for target in every if target.id == "ground.bank_angle.*")


def test_a_main_tyre_that_does_not_sink_when_flat_is_told_and_a_tail_wheel_s_is_not():
    assert bank("gear.wheels.tail.flat=0 in").notices == ()
    (told,) = bank("gear.wheels.main.flat=0 in").notices
    assert told.startswith("gear.wheels.main: flat is 0 mm or left out")


def test_a_spar_in_a_wing_that_is_trimmed_to_booms_is_told_what_to_do():
    """Broken before: joints were named, which the file has, not which way round they want to be."""

    def advice(p):
        return next(t.advice for t in figures(p) if t.id == "parts.interference.*")

    framed = load(CONFIGS / "framed.toml")
    (spar, *_) = (one for one in framed.spars if one.of == "wing")
    others = tuple(joint for joint in framed.joints if joint.trim != "wing")
    cut = framed.joints[0].model_copy(update={"trim": "wing", "to": "boom"})
    whole = cut.model_copy(update={"trim": "boom", "to": "wing"})
    said = advice(framed.model_copy(update={"joints": (*others, cut)}))
    assert f"the spar {spar.name} is not cut" in said
    assert 'trim = "boom", to = "wing"' in said
    assert "spar" not in advice(framed.model_copy(update={"joints": (whole,)}))
