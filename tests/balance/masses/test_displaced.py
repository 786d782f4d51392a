"""Foam that spars and ribs take the place of is weighed once."""

import pytest
from joined_spars import jointed
from spar_wings import planned
from weighed_machines import solid

from geomgen.balance.masses.displaced import host_of
from geomgen.balance.masses.entries import of_parts
from geomgen.balance.masses.solid_figures import solids_measured
from geomgen.parameters.records.masses import PartMass

LITRE = 1e6
WING = {"part": "wing", "density": "20 kg/m^3"}
SPAR = {"part": "spar", "material": "spruce"}
CAP = "spar_main_cap_upper"


def lines(rows, wings=("wing",)):
    """Return the masses [kg] of a wing of 400 l and a cap of 10 l, by line."""
    p = planned(spars=[{}]).model_copy(update={"mass": tuple(PartMass(**row) for row in rows)})
    measured = [solid(CAP, 10 * LITRE, (1600.0, 0.0, 1300.0), family="spar")]
    for i, name in enumerate(wings):
        middle = (1700.0, 1000.0 * i, 1300.0)
        measured.append(solid(name, 400 * LITRE / len(wings), middle, family="wing"))
    return {line.name: line for line in of_parts(p, solids_measured(measured))}


def test_foam_is_short_of_the_spar():
    found = lines([WING, SPAR])
    assert found["wing"].body.mass == pytest.approx(0.390 * 20.0)
    assert found[CAP].body.mass == pytest.approx(0.010 * 430.0)
    assert "10 l of spars and ribs taken off" in found["wing"].how
    x = (0.4 * 1700.0 - 0.01 * 1600.0) / 0.39
    assert found["wing"].body.centre[0] == pytest.approx(x)


def test_pieces_of_a_cut_wing_share_what_is_taken_off():
    found = lines([WING, SPAR], ("wing_left", "wing_right"))
    both = sum(found[name].body.mass for name in ("wing_left", "wing_right"))
    assert both == pytest.approx(0.390 * 20.0)


def test_what_was_weighed_has_the_spar_in_it():
    found = lines([{"part": "wing", "weighed": "21 kg"}, SPAR])
    assert CAP not in found
    assert found["wing"].body.mass == pytest.approx(21.0)
    assert "with the spars and ribs in it" in found["wing"].how


def test_a_piece_goes_before_its_spar_and_that_before_the_family():
    row = {"part": "spar_main", "density": "700 kg/m^3"}
    assert lines([WING, SPAR, row])[CAP].body.mass == pytest.approx(7.0)
    closer = {"part": CAP, "density": "900 kg/m^3"}
    assert lines([WING, SPAR, row, closer])[CAP].body.mass == pytest.approx(9.0)


def test_spars_of_a_fin_that_was_not_weighed_do_not_go_with_the_other_fin():
    fin = {"of": "fin", "start": "100 mm", "end": "700 mm", "name": "f", "width": "25 mm"}
    left = {"part": "fin_left", "density": "20 kg/m^3"}
    rows = [{"part": "fin_right", "weighed": "2 kg"}, left, SPAR]
    p = planned(spars=[fin]).model_copy(update={"mass": tuple(PartMass(**row) for row in rows)})
    measured = [
        solid(f"{name}_{hand}", litres * LITRE, (3000.0, y, 1300.0), family=family)
        for hand, y in (("right", 800.0), ("left", -800.0))
        for name, family, litres in (("fin", "fin", 40), ("spar_f_web_fore", "spar", 1))
    ]
    lines_ = {line.name: line.body for line in of_parts(p, solids_measured(measured))}
    assert lines_["fin_left"].centre[1] == pytest.approx(-800.0)
    assert {name: line.mass for name, line in lines_.items()} == {
        "fin_right": pytest.approx(2.0),
        "fin_left": pytest.approx(0.039 * 20.0),
        "spar_f_web_fore_left": pytest.approx(0.430),
    }


def test_a_joint_of_a_fin_takes_no_foam_out_of_the_wing():
    """Of a spar main in the wing and a spar main2 in a fin, whose name only begins alike."""
    p = jointed()
    fin = p.spars[0].model_copy(update={"name": "main2", "of": "fin"})
    p = p.model_copy(update={"spars": (*p.spars, fin)})
    hosts = [host_of(p, f"joint_{what}_right") for what in ("plate_main_inner_1", "pin_main2_1")]
    assert hosts == ["wing", "fin"]
