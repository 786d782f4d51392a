"""The plain geometry that is published beside the solids is the file's."""

from spar_wings import planned

from geomgen.kernel.plain import AssemblyPlan, Inlay, Plane, TankRoom
from geomgen.parameters.records.structure.assembly import Assembly
from geomgen.shapes.assembly.pilot_places import eye, glass
from geomgen.shapes.assembly.places import places


def test_pilot_glass_and_climb_are_the_file_s(variant):
    p = variant("flight.climb_pitch=4.25 deg")
    found = places(p)
    assert (found.eye, found.glass, found.climb_pitch) == (eye(p), glass(p), 4.25)
    silent = p.model_copy(update={"flight": p.flight.model_copy(update={"climb_pitch": None})})
    assert places(silent).climb_pitch is None


def test_spars_and_ribs_are_told_with_what_each_stands_in():
    fin = {"name": "f", "of": "fin", "start": "100 mm", "end": "700 mm"}
    p = planned(spars=[{}, fin], ribs=[{"of": "tailplane"}])
    hosts = (("spar_main", "wing"), ("spar_f", "fin"), ("rib_a", "tailplane"))
    assert places(p).inlays == tuple(Inlay(*host) for host in hosts)


def test_how_the_parts_are_put_together_is_told_and_the_room_of_tanks(variant):
    p = variant("tanks.main.shape.gap=7 mm", "tanks.main.shape.out=aft")
    found = places(p)
    assert found.assembly is None
    assert found.tank_rooms == {"tank_main": TankRoom(7.0, (), "aft")}
    for table, split in (
        ({"order": ["pod"]}, Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))),
        (
            {"pod_split": "waterline", "split_waterline": "700 mm"},
            Plane((0.0, 0.0, 700.0), (0.0, 0.0, 1.0)),
        ),
        ({"pod_split": "none", "built_in_place": ["boom"]}, None),
    ):
        plan = Assembly.model_validate(table)
        told = places(p.model_copy(update={"assembly": plan})).assembly
        assert told == AssemblyPlan(split, plan.order, plan.built_in_place)
