"""The random files are what they promise: they load and come back equal."""

import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from strategies import parameter_texts

from geomgen.parameters import as_toml, fingerprint, load

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]


def loaded(text):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "random.toml"
        file.write_text(text, encoding="utf-8")
        return load(file)


@settings(deadline=None, suppress_health_check=QUIET)
@given(parameter_texts())
def test_random_files_load_and_come_back_equal(text):
    p = loaded(text)
    again = loaded(as_toml(p))
    assert again == p
    assert fingerprint(again) == fingerprint(p)
