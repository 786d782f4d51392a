"""Every error comes out of another process as it went in: pickled and back."""

import pickle

import pytest

from geomgen.errors import FaultError, FileWriteError, GeometryError, ParameterError, Stand
from geomgen.kernel.meshing.by_faces import FacesError
from geomgen.parameters.reading.refusal import ManyParametersError

REFUSED = ParameterError("no unit", file="a.toml", key="pod.wall", line=7, written="3")
ERRORS = (
    REFUSED,
    ManyParametersError([REFUSED, ParameterError("not a key", key="pod.wal")]),
    GeometryError("the walls meet", part="pod", look_at=["pod.wall"], stands=[Stand("pod.wall")]),
    FacesError("an open face", [3]),
    FaultError("KeyError: 'x'", part="pod", step="mesh", frames="line 7"),
    FileWriteError("disk full", path="pod.stl", advice="free some space"),
)


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_comes_back_as_it_was(error):
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert (str(again), again.args) == (str(error), error.args)
    # Records compare by their fields; an error within an error by its words.
    assert repr(again.__dict__) == repr(error.__dict__)
    assert again.as_dict() == error.as_dict()
