"""Places that hang on other parts: worked out, refused, written back, studied."""

import tomllib
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.parameters import as_toml, fingerprint, load
from geomgen.parameters.editing.field_list import fields_of
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.refusal import Origin
from geomgen.parameters.reading.relative_places import worked_out_places

LENGTHS = ("mm", "cm", "m", "in", "ft", "thou")
HEAD = {(): Origin("mine.toml", None)}


def tables(**more):
    return {"firewall": {"station": "1.8 m"}, **more}


@given(
    st.integers(-(10**6), 10**6),
    st.sampled_from(LENGTHS),
    st.integers(0, 10**6),
    st.sampled_from(LENGTHS),
    st.sampled_from(["{}+{}", "{} + {}", " {}  -  {} ", "{} -{}"]),
)
def test_resolved_as_by_hand(stand, stand_unit, off, off_unit, form):
    """Independent: sums by hand, in millimetres, with factors of the legal table."""
    factor = {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8, "thou": 0.0254}
    stand, off = stand / 1000, off / 1000
    text = form.format("Firewall", f"{off} {off_unit}")
    made = {"firewall": {"station": f"{stand} {stand_unit}"}, "propeller": {"station": text}}
    hung = worked_out_places(made, HEAD)
    by_hand = stand * factor[stand_unit] + (-1 if "-" in form else 1) * off * factor[off_unit]
    if hung.refused:
        assert [error.problem for error in hung.refused] == ["out of range"]
        assert not -5000 < by_hand < 15000
        return
    read = units.parse(hung.tables["propeller"]["station"], "length")
    assert read == pytest.approx(by_hand, abs=1e-9)
    assert made["propeller"]["station"] == text


@given(st.lists(st.integers(-400, 400), min_size=1, max_size=30), st.randoms())
def test_chains_in_any_order(offsets, dice):
    order = list(range(len(offsets)))
    dice.shuffle(order)
    rows = [
        {
            "name": f"b{i}",
            "length": "10 mm",
            "station": f"b{i - 1} + {off} mm" if i else f"firewall + {off} mm",
        }
        for i, off in enumerate(offsets)
    ]
    made = tables(engine={"boxes": [rows[i] for i in order]})
    hung = worked_out_places(made, HEAD)
    totals = [1800.0 + sum(offsets[: i + 1]) for i in range(len(offsets))]
    # Behind a place that is out of range nothing can be told.
    out = next((i for i, x in enumerate(totals) if not -5000 <= x <= 15000), len(totals))
    expected = {
        ("engine", "boxes", place, "station"): totals[i] for place, i in enumerate(order) if i < out
    }
    assert hung.became == expected
    assert len(hung.refused) == (out < len(totals))


def test_one_number_moves_all_that_hangs_on_it(saltmarsh):
    hung = (
        "engine.boxes.crankcase.station=firewall + 450 mm",
        "engine.boxes.reduction gear.station=crankcase end - 5 mm",
        "engine.cylinders.muffler.station=crankcase + 60 mm",
        "engine.fan_face.station=fan housing",
        "engine.cylinders.fan housing.station=firewall + 400 mm",
        "propeller.station=pod end + 6 in",
    )
    former, new = saltmarsh(*hung), saltmarsh(*hung, "firewall.station=1810 mm")
    assert [b.station for b in former.engine.boxes] == [2250.0, 2515.0]
    assert [b.station for b in new.engine.boxes] == [2260.0, 2525.0]
    assert new.engine.cylinders[3].station == former.engine.cylinders[3].station + 10 == 2320.0
    assert new.engine.fan_face.station == 2210.0
    assert new.propeller.station == pytest.approx(3152.4)


def test_the_same_aircraft_as_with_lengths(saltmarsh):
    """Nothing else is built anew: records, and so all fingerprints, are those of the lengths."""
    hung = saltmarsh("engine.boxes.crankcase.station=firewall + 450 mm", "firewall.station=1.8 m")
    assert hung == saltmarsh()
    assert fingerprint(hung) == fingerprint(saltmarsh())


CIRCLES = {
    ("firewall.station=firewall + 1 mm",): ["firewall.station"],
    (
        "firewall.station=crankcase - 1 m",
        "engine.boxes.crankcase.station=firewall + 1 m",
    ): ["firewall.station", "engine.boxes.0.station"],
    (
        "exit.rim_station=blades - 100 mm",
        "propeller.station=boom end - 1 m",
        "booms.stations.5.station=exit rim + 3 m",
    ): ["exit.rim_station", "propeller.station", "booms.stations.5.station"],
    ("wing.leading_edge=blades - 1.8 m",): ["wing.leading_edge", "propeller.behind_trailing_edge"],
    ("firewall.station=cheek + 3 mm",): ["firewall.station", "scoops.0.mouth"],
}


@pytest.mark.parametrize("overrides", CIRCLES)
def test_circles_are_refused_with_their_keys_in_order(saltmarsh, overrides):
    with pytest.raises(ParameterError, match=r"circle|itself") as caught:
        saltmarsh(*overrides)
    assert not hasattr(caught.value, "errors")
    keys = [step.split(" = ")[0] for step in caught.value.written.split(", then ")]
    turned = CIRCLES[overrides]
    i = keys.index(turned[0])
    assert keys[i:] + keys[:i] == turned


def test_a_circle_names_its_lines(folder):
    file = folder / "saltmarsh.toml"
    text = file.read_text()
    text = text.replace('station = "1800 mm" ', 'station = "crankcase - 451 mm" ')
    text = text.replace('station = "2250 mm" ', 'station = "firewall + 451 mm" ')
    file.write_text(text)
    lines = [i for i, row in enumerate(text.splitlines(), 1) if "451 mm" in row]
    assert len(lines) == 2
    with pytest.raises(ParameterError) as caught:
        load(file)
    assert all(f"saltmarsh.toml, line {line})" in caught.value.written for line in lines)
    assert caught.value.line in lines


@pytest.mark.parametrize(
    ("override", "words"),
    [
        ("firewall.station=firewal + 3 mm", 'this file has: "firewal".*perhaps "exit|perhaps'),
        ("firewall.station=pod end - 3", "after the -: no unit"),
        ("firewall.station=pod end - 3 kg", "a unit of a mass"),
        ("firewall.station=pod end -", "after the -"),
        ("firewall.station=pod end - 12 m", r"out of range(.|\n)*-9000 mm"),
        ("firewall.station=pod start + 1 m 2", "after the"),
        ("spinner.length=pod end", "not a number with a unit"),
        ("rules.radial_clearance=pod end", "not a number with a unit"),
        ("engine.cylinders.0.name=crankcase", None),
    ],
)
def test_refuses(saltmarsh, override, words):
    more = ["engine.fan_face.station=crankcase"] if words is None else []
    with pytest.raises(ParameterError, match=words or 'more than one part is called "crankcase"'):
        saltmarsh(override, *more)


def test_what_is_not_there_is_refused_with_what_is():
    made = tables(propeller={"station": "exit rim + 1 in"})
    (error,) = worked_out_places(made, HEAD).refused
    assert error.problem == "this file has no exit rim"
    assert "firewall" in error.allowed
    assert "pod" not in error.allowed


def test_a_bad_anchor_is_refused_once(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("firewall.station=1.8", "engine.boxes.crankcase.station=firewall + 450 mm")
    assert not hasattr(caught.value, "errors")
    assert caught.value.key == "firewall.station"


def test_a_rule_between_fields_shows_what_was_written(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("engine.boxes.crankcase.station=firewall - 1 in")
    first = getattr(caught.value, "errors", [caught.value])[0]
    assert first.written == "firewall - 1 in (69.87 in / 1774.6 mm)"


@pytest.mark.parametrize(
    ("name", "text"),
    [("cheek-2", "cheek-2 - 3 mm"), ("cheek-2", "cheek-2"), ("v2+1", "V2+1 + 1e-3 m")],
)
def test_names_may_hold_signs(name, text):
    boxes = [{"name": "cheek", "station": "0 mm"}, {"name": name, "station": "1 m"}]
    made = tables(engine={"boxes": boxes}, propeller={"station": text})
    hung = worked_out_places(made, HEAD)
    assert hung.became[("propeller", "station")] == pytest.approx(1000, abs=4)


def test_as_used_loads_again_and_keeps_the_words(saltmarsh, folder):
    p = saltmarsh("firewall.station=exit  rim -\t1.1 m", 'drawings.stations=["firewall", "2 m"]')
    text = as_toml(p)
    assert "; written as exit rim - 1.1 m\n" in text
    assert "; written as firewall\n" in text
    tomllib.loads(text)
    (folder / "used.toml").write_text(text)
    assert load(folder / "used.toml") == p


def test_written_says_what_it_became(saltmarsh):
    p = saltmarsh("firewall.station=exit rim - 1.1 m")
    assert p.written["firewall.station"] == "exit rim - 1.1 m (1800 mm)"
    assert p.hung == {("firewall", "station"): "exit rim - 1.1 m"}


def test_extending_file_moves_what_its_base_hangs(folder):
    (folder / "base.toml").write_text(
        'extends = "saltmarsh.toml"\n[engine.fan_face]\nstation = "firewall + 400 mm"\n'
    )
    (folder / "mine.toml").write_text('extends = "base.toml"\n[firewall]\nstation = "1.81 m"\n')
    p = load(folder / "mine.toml")
    assert p.engine.fan_face.station == 2210.0


def test_fields_keep_the_words(folder):
    file = folder / "saltmarsh.toml"
    text = file.read_text().replace('station = "1800 mm" ', 'station = "exit rim - 1.1 m" ')
    file.write_text(text)
    made, origins = read_with_bases(file)
    fields = {field.key: field for field in fields_of(load(file), made, origins)}
    field = fields["firewall.station"]
    assert (field.kind, field.written, field.number) == ("text", "exit rim - 1.1 m", None)
    assert field.description.endswith("; here 1800 mm")
    assert text.splitlines()[field.line - 1].startswith('station = "exit rim - 1.1 m"')


def test_rewriting_keeps_what_hangs(folder):
    text = (folder / "saltmarsh.toml").read_text()
    made = rewritten(text, {"engine.fan_face.station": "firewall + 16 in", "pod.wall": "5 mm"})
    assert 'station = "firewall + 16 in"' in made
    again = rewritten(made, {"pod.wall": "4 mm", "engine.fan_face.station": "2200 mm"})
    assert tomllib.loads(again) == tomllib.loads(text)


HUNG = "engine.boxes.crankcase.station"


@pytest.fixture
def roomy(folder):
    """Return the folder, the crankcase and the fan's housing long enough to stay joined."""
    hang(folder, "engine.boxes.crankcase.length", "330 mm")
    hang(folder, "engine.cylinders.0.length", "130 mm")
    return folder


def sweep(*vary, **more):
    from geomgen.sweeping.plan import SweepQuestion, plan_of

    return plan_of(SweepQuestion(more.pop("file"), vary, **more))


def test_a_sweep_goes_through_places(roomy):
    file = roomy / "saltmarsh.toml"
    plan = sweep(f"{HUNG}=firewall+440 mm, firewall + 450 mm", file=file)
    assert [p.engine.boxes[0].station for p in plan.records] == [2240.0, 2250.0]
    assert [v.values[0].number for v in plan.variants] == [2240.0, 2250.0]
    ranged = sweep(
        f"{HUNG}=firewall + 17 in:firewall + 18 in:3", "firewall.station=1.79m,1.8m", file=file
    )
    assert [v.values[0].text for v in ranged.variants][::2] == [
        "firewall + 17 in",
        "firewall + 17.5 in",
        "firewall + 18 in",
    ]
    by_hand = [f + i * 25.4 for i in (17, 17.5, 18) for f in (1790, 1800)]
    assert [p.engine.boxes[0].station for p in ranged.records] == pytest.approx(by_hand)
    assert [v.values[0].number for v in ranged.variants] == pytest.approx(by_hand)


def test_a_sweep_moves_what_hangs(roomy):
    plan = sweep(
        "firewall.station=1.79 m:1.81 m:3",
        file=roomy / "saltmarsh.toml",
        overrides=(f"{HUNG}=firewall + 450 mm",),
    )
    assert [p.engine.boxes[0].station for p in plan.records] == [2240.0, 2250.0, 2260.0]


def test_a_range_from_two_places_is_refused(folder):
    with pytest.raises(ParameterError, match="not from the same place"):
        sweep(f"{HUNG}=firewall + 1 m:pod end - 1 m:3", file=folder / "saltmarsh.toml")


def hang(folder, key, text):
    """Write a place into the file itself."""
    file = folder / "saltmarsh.toml"
    file.write_text(rewritten(file.read_text(), {key: text}))


def solve(folder, out, *free, **more):
    """Solve for the room between firewall and crankcase; a formula stands for the aircraft."""
    from geomgen.sizing.targets import targets
    from geomgen.solving import solve as solving
    from geomgen.verdicts.judge import judge

    def state(p):
        room = p.engine.boxes[0].station - p.firewall.station - 400
        row = Measurement("engine.clearance.firewall", "engine", "", room, "mm", "a - b", 0.01)
        due = [t for t in targets(p) if t.id == "engine.clearance.*"]
        return SimpleNamespace(checks=tuple(judge([row], due)))

    question = solving.SolveQuestion(
        folder / "saltmarsh.toml", free, ("engine.clearance.firewall=30 mm",), **more
    )
    return solving.solve(question, out, regenerate=state)


def test_solving_varies_the_length_from_the_place(roomy):
    hang(roomy, HUNG, "firewall + 450 mm")
    found = solve(roomy, roomy, f"{HUNG}=firewall + 420 mm:firewall + 460 mm")
    assert found.passed
    assert 'station = "firewall + 430 mm"' in found.file.read_text()
    assert load(found.file).engine.boxes[0].station == 2230.0
    (free,) = found.plan.asked.frees
    assert (free.low, free.high, free.start) == (420.0, 460.0, 450.0)
    assert free.shown(430.0) == "firewall + 430 mm"


def test_solving_for_what_others_hang_on(roomy):
    """The crankcase hangs on the exit's rim, so the firewall moves towards it."""
    found = solve(
        roomy,
        roomy,
        "firewall.station=1.79 m:1.84 m",
        overrides=(f"{HUNG}=exit rim - 650 mm",),
    )
    assert found.passed
    assert load(found.file).firewall.station == pytest.approx(1820.0, abs=0.05)
    assert 'station = "exit rim - 650 mm"' in found.file.read_text()


def test_solving_does_not_cut_a_place_off_by_itself(folder):
    hang(folder, HUNG, "firewall + 450 mm")
    with pytest.raises(ParameterError, match="counts from another part") as caught:
        solve(folder, folder, f"{HUNG}=2.2 m:2.3 m")
    assert "firewall + 300 mm" in caught.value.allowed


def test_solving_from_a_place_that_hangs_on_the_key_is_refused(folder):
    with pytest.raises(ParameterError, match="circle"):
        solve(
            folder,
            folder,
            f"{HUNG}=firewall + 420 mm:firewall + 460 mm",
            overrides=("firewall.station=crankcase - 450 mm",),
        )


def test_nothing_hangs_on_a_mouth_at_a_leaning_firewall(saltmarsh):
    """No table tells where a leaning sheet meets the skin."""
    hung = 'handoff.foam.end="cheek"'
    assert saltmarsh(hung).handoff.foam.end == saltmarsh().firewall.station
    with pytest.raises(ParameterError, match="leaning firewall meets the skin"):
        saltmarsh(hung, "firewall.tilt=3 deg")
