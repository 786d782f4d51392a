"""What is refused before the kernel is loaded; which variants the parameters refuse."""

import itertools
import subprocess
import sys
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters, fingerprint, load
from geomgen.sweeping import plan as sweep_plan
from geomgen.sweeping.plan import SweepQuestion, plan_of

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


def plan(*vary, **more):
    return plan_of(SweepQuestion(CONFIG, vary, **more))


def test_each_variant_is_what_set_would_give():
    made = plan("firewall.station=1.78m:1.82m:3", "rules.clearances=CS 22.925,14 CFR 23.925")
    assert len(made.records) == 6
    meant = load(CONFIG, ["firewall.station=1.8 m", 'rules.clearances="14 CFR 23.925"'])
    assert made.records[3] == meant
    assert made.base == load(CONFIG)


def test_overrides_hold_for_all():
    made = plan("spinner.length=170mm,190mm", overrides=("pod.wall=5 mm",))
    assert [p.pod.wall for p in made.records] == [5.0, 5.0]
    assert made.base.pod.wall == 5.0


def test_a_refused_variant_is_no_reason_to_stop():
    made = plan("firewall.thickness=0.4 mm, 99 mm")
    assert isinstance(made.records[0], Parameters)
    assert isinstance(made.records[1], ParameterError)
    assert made.records[1].key == "firewall.thickness"


def test_a_variant_that_clashes_is_refused_too():
    """A lip radius of more than half the wall: a cross-check of the parameters."""
    made = plan("scoops.cheek.lip_radius=1.5 mm,2.9 mm")
    assert [isinstance(p, ParameterError) for p in made.records] == [False, True]


def test_all_refused_is_a_refusal():
    with pytest.raises(ParameterError, match="all 2 variants are refused") as refused:
        plan("firewall.thickness=98 mm, 99 mm")
    assert (refused.value.key, refused.value.exit_code) == ("firewall.thickness", 2)


@pytest.mark.parametrize(
    ("vary", "more", "problem"),
    [
        (("spinner.length=1m,2m",), {"axes": "a"}, "two or three axes"),
        (("spinner.length=1m,2m",), {"axes": "a,b,c,d"}, "two or three axes"),
        (("spinner.length=1m,2m",), {"axes": "firewall.mass,wingspan"}, "no such figure"),
        (("spinner.length=1m,2m",), {"best": "firewall.mas=low"}, "no such figure"),
        (("spinner.length=1m,2m",), {"overrides": ("spinner.length=1 m",)}, "set and varied"),
        (("spinner.length=1m,2m",), {"overrides": ("spinner.x=1 m",)}, "unknown key"),
        (("spinner.length=1m,2m",), {"best": "inlet.area.left=low"}, "no such figure"),
        (("spinner.length=1m,2m",), {"best": "duct=low,duct.turn_angle=low"}, "named twice"),
        (("spinner.length=1m:2m",), {"samples": 4, "seed": -1}, "not a seed"),
        (("spinner.length=1m:2m",), {}, "how many values"),
        ((), {}, "nothing is varied"),
    ],
)
def test_questions_that_are_refused(vary, more, problem):
    with pytest.raises(ParameterError, match=problem) as refused:
        plan(*vary, **more)
    assert refused.value.exit_code == 2


def test_a_list_that_is_set_is_no_varied_key():
    overrides = ('drawings.stations=["600 mm"]',)
    assert plan("spinner.length=170mm,190mm", overrides=overrides).base.drawings.stations == (
        600.0,
    )


def test_axes_may_be_families_or_varied_keys():
    axes = "engine.clearance,inlet.area,spinner.length"
    assert plan("spinner.length=170mm,190mm", axes=axes).axes == tuple(axes.split(","))


def test_a_refused_variant_names_the_option_that_it_came_from():
    made = plan("firewall.thickness=0.4 mm,99 mm", overrides=("spinner.length=190 mm",))
    assert str(made.records[1]).startswith("--vary: firewall.thickness: out of range")


def test_variants_share_nothing_that_one_could_change_in_another():
    """What is not copied for a variant is what `--set` would have left alone too."""
    vary = ("scoops.cheek.width=245 mm,250 mm", "rules.tip_mach=0.6,0.7", "spinner.length=180mm")
    made = plan(*vary)
    for i, sets in enumerate(itertools.product(("245 mm", "250 mm"), ("0.6", "0.7"))):
        own = load(CONFIG, [f"scoops.0.width={sets[0]}", f"rules.tip_mach={sets[1]}"])
        assert made.records[i] == own
        assert made.records[i].written == {**own.written, "spinner.length": "180mm"}
    assert made.fingerprints == tuple(fingerprint(record) for record in made.records)


def test_the_other_way_to_place_the_blades_is_dropped():
    made = plan("propeller.station=3.1 m,3.2 m")
    assert [p.propeller.station for p in made.records] == [3100.0, 3200.0]
    assert made.records[0].propeller.behind_trailing_edge is None


def read_whole(monkeypatch):
    """Count how many sets of tables are read whole."""
    calls = []
    read = sweep_plan.records_of
    monkeypatch.setattr(sweep_plan, "records_of", lambda *a: calls.append(1) or read(*a))
    return calls


def test_a_key_out_of_its_range_is_refused_before_any_variant_is_read(monkeypatch):
    calls = read_whole(monkeypatch)
    with pytest.raises(ParameterError, match="all 20000 variants are refused: out of range"):
        plan("spinner.length=170mm:190mm:1000", "firewall.thickness=80mm:99mm:20")
    # The file itself.
    assert len(calls) == 1


def test_a_long_plan_tells_how_far_it_is(monkeypatch):
    monkeypatch.setattr(sweep_plan, "APART", 2)
    told = []
    question = SweepQuestion(CONFIG, ("firewall.thickness=0.4mm,0.5mm,99mm,98mm,0.6mm",))
    plan_of(question, told.append)
    assert [(seen.done, seen.total, seen.refused) for seen in told] == [(2, 5, 0), (4, 5, 2)]


def test_a_sample_needs_no_number_of_steps():
    made = plan("spinner.length=170mm:190mm", samples=5, seed=3)
    assert len(made.records) == 5
    assert all(170 <= p.spinner.length <= 190 for p in made.records)


def test_a_refusal_does_not_load_the_kernel():
    code = (
        "import sys\n"
        "from geomgen.sweeping.plan import SweepQuestion\n"
        "from geomgen.sweeping.sweep import sweep\n"
        "try:\n"
        "    sweep(SweepQuestion(sys.argv[1], ('firewall.station=1:2:3',)))\n"
        "except ValueError:\n"
        "    print('OCP' in sys.modules, 'plotly' in sys.modules, 'pyarrow' in sys.modules)\n"
    )
    run = subprocess.run([sys.executable, "-c", code, CONFIG], capture_output=True, text=True)
    assert run.stdout == "False False False\n"
