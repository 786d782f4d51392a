"""Drawings of random aircraft: they are made, and no text runs into a line or another text."""

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import booleans
from strategies import drawing_choices, parameter_texts
from test_strategies import loaded

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.engine_bay import engine_bay
from geomgen.aircraft_drawings.on_wheels.standing import standing
from geomgen.aircraft_drawings.station_sections import station_sections
from geomgen.aircraft_drawings.three_view import three_view
from geomgen.aircraft_drawings.views import views_of
from geomgen.drafting.clashes import clashes
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.errors import GeometryError
from geomgen.workflows import assemble


@pytest.mark.long
@settings(
    max_examples=12,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(parameter_texts(), drawing_choices(), booleans())
def test_random_aircraft_are_drawn_without_clashes(text, chosen, inches):
    with lengths_on_paper(inches):
        held(assemble(loaded(text)), chosen)


def held(model, chosen):
    """Draw all sheets of a machine and hold them to be without clashes."""
    choices = Choices(*chosen)
    sheets = [*station_sections(model, choices), engine_bay(model, choices, ())]
    views = views_of(model)
    try:
        sheets.append(three_view(views, choices))
        stood = standing(views, choices, (), (), "nobody flies it")
        sheets += [stood] if stood is not None else []
    except GeometryError as error:
        # A large machine may not fit the smallest sheet; the error then names the key.
        if chosen[1] != "A3" or error.look_at != ["drawings.sheet"]:
            raise
    for sheet in sheets:
        assert clashes(sheet.drawing) == (), sheet.drawing.name
        assert sheet.drawing.dimensions
