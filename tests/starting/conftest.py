from pathlib import Path

import pytest

from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.refusal import Origin
from geomgen.starting.choices import choices_of
from geomgen.starting.fresh_text import fresh_tables


@pytest.fixture(scope="session")
def fresh():
    """Return a function from choices to the records of the new file."""

    def made(**chosen: str):
        tables = fresh_tables(choices_of("mine", "Mine", chosen))
        return records_of(tables, {(): Origin("mine.toml", None)}, Path())

    return made
