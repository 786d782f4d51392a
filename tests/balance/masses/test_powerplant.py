"""Which items count as engine and propeller, and what is said of one that is far too light."""

from weighed_machines import checked, machine, measured

from geomgen.balance.judged import checks_of
from geomgen.balance.masses.powerplant import engine_items, propeller_items
from geomgen.balance.state import balance_state
from geomgen.parameters.records.masses import MassItem

PLUG = {"name": "spark plug", "group": "powerplant", "mass": "50 g", "at": "engine"}


def silent(p):
    """Return a file whose items do not say what they are the weight of."""
    items = tuple(item.model_copy(update={"weight_of": None}) for item in p.items)
    return p.model_copy(update={"items": items})


def with_only(p, **row):
    """Return a file with another item in place of all that stand at the engine."""
    items = tuple(item for item in p.items if item.at != "engine")
    return p.model_copy(update={"items": (*items, MassItem.model_validate({**PLUG, **row}))})


def test_items_that_say_so_are_the_engine_and_no_other():
    p = machine()
    plug = MassItem.model_validate(PLUG)
    p = p.model_copy(update={"items": (*p.items, plug)})
    assert engine_items(p, ["engine"]) == {"engine with reduction gear and fan"}
    assert engine_items(silent(p), ["engine"]) == {
        "engine with reduction gear and fan",
        "spark plug",
    }
    found = checked(p)["mass.engine"]
    assert (found.measured, found.verdict, found.note) == (20.5, "pass", "")
    assert found.error_bound == 0.5


def test_a_spark_plug_alone_in_the_engine_warns_that_it_is_too_light():
    """22 kW at 0.2 kg/kW: 4.4 kg."""
    found = checked(with_only(silent(machine())))["mass.engine"]
    assert (found.measured, found.verdict) == (0.05, "warn")
    assert found.target.low == 4.4
    assert "spark plug" in found.where
    assert 'weight_of = "engine"' in found.note


def test_a_spark_plug_beside_an_engine_that_nobody_weighs_is_no_engine():
    p = machine()
    found = checked(with_only(p, weight_of="propeller"))
    assert found["mass.engine"].measured == 0.05
    items = tuple(item for item in p.items if item.weight_of != "engine")
    plug = MassItem.model_validate({**PLUG, "at": None, "station": "2.2 m", "waterline": "0.8 m"})
    found = checked(p.model_copy(update={"items": (*items, plug)}))
    assert "engine: nothing in the file says" in found["mass.empty"].note
    assert "mass.engine" not in found


def test_a_bolt_near_the_blades_is_too_light_for_a_propeller():
    p = silent(machine())
    items = tuple(item for item in p.items if not item.name.startswith("propeller"))
    bolt = MassItem.model_validate(
        {**PLUG, "name": "bolt", "at": None, "station": "3050 mm", "waterline": "820 mm"}
    )
    found = checked(p.model_copy(update={"items": (*items, bolt)}))
    assert found["mass.propeller"].verdict == "warn"
    assert found["mass.propeller"].where == "bolt"


def test_a_propeller_that_stands_far_from_the_blades_is_none():
    p = machine()
    items = tuple(
        item.model_copy(update={"station": 1000.0}) if item.weight_of == "propeller" else item
        for item in p.items
    )
    p = p.model_copy(update={"items": items})
    state = balance_state(p, measured())
    assert state is not None
    assert propeller_items(p, state.lines) == set()
    note = checked(p)["mass.empty"].note
    assert "propeller and hub: not within 250 mm of the blades" in note


def test_a_name_that_ends_in_a_hand_is_still_that_item():
    p = machine()
    names = {"engine": "engine, left", "propeller": "propeller, right"}
    items = tuple(
        item.model_copy(update={"name": names[item.weight_of]}) if item.weight_of else item
        for item in p.items
    )
    found = checked(p.model_copy(update={"items": items}))
    assert (found["mass.engine"].measured, found["mass.propeller"].measured) == (20.5, 2.4)
    assert found["mass.engine"].where == "engine, left"


def test_an_engine_that_is_neither_drawn_nor_weighed_is_missed():
    """Without [engine] no solid is there to be missed: an item has to say that it is the engine."""
    p = machine().model_copy(update={"engine": None})
    there = [m for m in measured() if m.id != "body.engine"]
    items = tuple(item for item in p.items if item.weight_of != "engine")
    station = p.items[0].model_copy(update={"at": None, "station": 2500.0, "waterline": 800.0})
    for update, missed in ((items, True), ((station, *items), False)):
        every = {c.id: c for c in checks_of(p.model_copy(update={"items": update}), there)}
        assert (every["mass.empty"].verdict == "not_measured") == missed
        assert ("engine (it is not drawn" in every["mass.empty"].note) == missed
