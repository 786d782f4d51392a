"""Machines and inputs that are wrong on purpose, and what the air about them says then.

- a mesh inside out (`test_mesh_inside_out_...`): the same air, or refused; a grid: refused
  (`air/potential/test_grids.py`);
- a part that is there twice: refused (`air/potential/test_solution.py`);
- the disc ahead of the exit, or its line forward: seen, and turned
  (`measurements/outside_air/test_states.py`);
- a mouth in the wake of another scoop, or behind where the air has left the skin: no figure of its
  layer, and a check that fails (`measurements/outside_air/test_skin.py`, `test_left_skin.py`);
- a density in another unit (`test_density_...`): refused, or the same in any unit;
- what is not seen: a part that is not in the file, wheels and legs, the propeller's swirl.
"""

from dataclasses import replace
from pathlib import Path

import pytest
from plain_machines import about, climb, mesh_of

from geomgen.errors import GeometryError, ParameterError
from geomgen.measurements.outside_air.questions import _state
from geomgen.measurements.outside_air.states import solved_machine
from geomgen.parameters import load

SALTMARSH = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


def told(machine):
    solved = solved_machine(machine, 0.5)
    row = _state(solved, climb(), machine, None, {})
    return row["attack"], row["rim"], row["mouths"]["scoop_a_right"]["pressure"]


def with_inside_out(machine, part):
    mesh = machine.meshes[part]
    turned = mesh_of(mesh.vertices, mesh.triangles[:, ::-1])
    return replace(machine, meshes={**machine.meshes, part: turned})


@pytest.mark.long
def test_mesh_inside_out_of_a_pod_has_the_same_air():
    right = about()
    assert told(with_inside_out(right, "pod")) == pytest.approx(told(right), rel=1e-6)


def test_mesh_inside_out_of_a_wing_is_refused():
    with pytest.raises(GeometryError, match="wing: no two cuts"):
        told(with_inside_out(about(), "wing"))


@pytest.mark.parametrize("wrong", ["1.225 g/cm^3", "1.225", "1225 kg/m^3", "0.0765 kg/m^3"])
def test_density_in_another_unit_is_refused(wrong):
    with pytest.raises(ParameterError, match=r"flight\.air_density"):
        load(SALTMARSH, [f'flight.air_density="{wrong}"'])


def test_density_in_pounds_is_the_same_air():
    found = load(SALTMARSH, ['flight.air_density="0.076474 lb/ft^3"']).flight.air_density
    assert found == pytest.approx(1.225, rel=1e-4)
