"""The drawings of a report, which a live page shows too, tell lengths as the file is written."""

from pathlib import Path

import pytest

from geomgen.aircraft_drawings import engine_bay, station_sections, three_view
from geomgen.aircraft_drawings.on_wheels import standing
from geomgen.drafting.own_lengths import in_inches
from geomgen.parameters import load
from geomgen.workflows.reporting import balance_page
from geomgen.workflows.reporting.files import ReportFiles

CONFIGS = Path(__file__).parents[3] / "configs"


class Asked(ReportFiles):
    """A report whose drawings say whether lengths are told in inches as they are made, written."""

    _views = None

    def _drawn(self, sheet, part):
        return [(sheet, in_inches())]


@pytest.fixture(scope="module", params=[("hayfield", True), ("saltmarsh", False)])
def asked(request):
    name, inches = request.param
    return Asked(Path(), load(CONFIGS / f"{name}.toml"), None, {}, (), {}), inches


@pytest.mark.parametrize("drawing", [three_view, standing, engine_bay, station_sections])
def test_drawings_tell_lengths_as_the_file_is_written(asked, drawing, monkeypatch):
    """Broken before: those of a file in inches were in mm as well."""
    files, inches = asked
    name = drawing.__name__.rpartition(".")[2]
    many = name == "station_sections"
    monkeypatch.setattr(drawing, name, lambda *_: [in_inches()] if many else in_inches())
    monkeypatch.setattr(balance_page, "loaded_centres", lambda _: ((), ""))
    made = getattr(files, "sections" if many else name)()
    assert made == [(inches, inches)]
    assert not in_inches()
