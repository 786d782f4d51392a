"""A window without a display, and words for who lacks a system library. Source: common practice."""

import numpy as np
import pytest

from geomgen.errors import FileWriteError
from geomgen.renders.window import colours_of, depths_of, need_libraries, window


def test_a_missing_library_is_named_with_its_package():
    with pytest.raises(FileWriteError) as caught:
        need_libraries({"libGL.so.1": "libgl1", "libnothing_of_the_kind.so.7": "libnothing7"})
    assert str(caught.value) == (
        "no picture can be drawn without libnothing_of_the_kind.so.7\n"
        "  do: install the system package libnothing7"
    )


def test_it_draws_with_no_display(monkeypatch):
    monkeypatch.delenv("DISPLAY", raising=False)
    from vtkmodules.vtkRenderingCore import vtkRenderer

    with window((64, 48)) as shown:
        scene = vtkRenderer()
        scene.SetBackground(1.0, 0.0, 0.2)
        shown.AddRenderer(scene)
        shown.Render()
        assert np.all(colours_of(shown) == [255, 0, 51])
        assert colours_of(shown).shape == (48, 64, 3)
        assert np.all(depths_of(shown) == 1.0)
