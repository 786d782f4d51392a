"""The plain geometry that is published beside the solids is the file's."""

from geomgen.shapes.assembly.pilot_places import eye, glass
from geomgen.shapes.assembly.places import places


def test_pilot_glass_and_climb_are_the_file_s(variant):
    p = variant("flight.climb_pitch=4.25 deg")
    found = places(p)
    assert (found.eye, found.glass, found.climb_pitch) == (eye(p), glass(p), 4.25)
    silent = p.model_copy(update={"flight": p.flight.model_copy(update={"climb_pitch": None})})
    assert places(silent).climb_pitch is None
