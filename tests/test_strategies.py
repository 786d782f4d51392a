"""The random files are what they promise: they load, and nearly all of them build."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from strategies import parameter_texts

from geomgen.parameters import as_toml, fingerprint, load

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large]


def loaded(text):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "random.toml"
        file.write_text(text, encoding="utf-8")
        return load(file)


@settings(max_examples=100, deadline=None, suppress_health_check=QUIET)
@given(parameter_texts())
def test_random_files_load_and_come_back_equal(text):
    p = loaded(text)
    again = loaded(as_toml(p))
    assert again == p
    assert fingerprint(again) == fingerprint(p)


@pytest.mark.long
def test_random_files_build():
    from geomgen.errors import GeometryError
    from geomgen.shapes.assembly import assemble

    failed, tried = [], []

    @settings(
        max_examples=20,
        deadline=None,
        suppress_health_check=QUIET,
        phases=[Phase.generate],
        derandomize=True,
    )
    @given(parameter_texts())
    def build(text):
        tried.append(text)
        try:
            assemble(loaded(text))
        except GeometryError as error:
            failed.append(str(error))

    build()
    assert len(failed) <= 0.05 * len(tried), failed
