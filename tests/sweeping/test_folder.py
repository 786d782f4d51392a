"""Keys that are also checks: both tables written, read back, and every column one of its own."""

from pathlib import Path

import made_outcomes
import pyarrow.parquet
import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.sizing.targets import figures
from geomgen.studies.row import VariantOutcome
from geomgen.studies.table import csv_bytes, parquet_bytes, table_of
from geomgen.studies.vary_key import key_of
from geomgen.sweeping.figures import axes_of
from geomgen.sweeping.folder import CSV, PARQUET, prove_tables
from geomgen.sweeping.plan import SweepQuestion, plan_of
from geomgen.verdicts.check import Limits

CONFIGS = Path(__file__).parents[2] / "configs"


def shared(config):
    """Return the ids that are a key that can be varied and a check, with the value as written."""
    p, (tables, _) = load(config), read_with_bases(config)
    found = {}
    for id_ in dict.fromkeys(target.id for target in figures(p)):
        try:
            key = key_of(id_, tables)
        except ParameterError:
            continue
        found[key.name] = p.written[key.name]
    return found


@pytest.mark.parametrize("name", ["saltmarsh.toml", "hayfield.toml"])
def test_every_key_that_is_a_check_too_keeps_its_columns_apart(tmp_path, name):
    both = shared(CONFIGS / name)
    assert {"firewall.thickness", "firewall.material"} <= set(both)
    plan = plan_of(SweepQuestion(CONFIGS / name, tuple(f"{k}={v}" for k, v in both.items())))
    checks = []
    for i, vary in enumerate(plan.varies):
        word = "" if vary.key.dimension else "measured metal"
        limits, way = Limits("none"), "one of" if word else "none"
        checks.append(made_outcomes.check(vary.key.name, 1.5 + i, limits, way, "mm", word))
    outcomes = [VariantOutcome("built", tuple(checks))]
    table = table_of(plan.varies, plan.variants, outcomes)
    (tmp_path / CSV).write_bytes(csv_bytes(table))
    (tmp_path / PARQUET).write_bytes(parquet_bytes(table))
    prove_tables(tmp_path, table)
    (row,) = pyarrow.parquet.read_table(tmp_path / PARQUET).to_pylist()
    axes = axes_of(plan, outcomes)
    for vary, check in zip(plan.varies, checks, strict=True):
        id_ = vary.key.name
        assert row[f"set {id_}"] == both[id_]
        if check.written:
            assert row[id_] == "measured metal"
            continue
        assert row[f"set {id_} [mm]"] == vary.values[0].number
        assert row[f"{id_} [mm]"] == check.measured
        assert axes[id_].values == (check.measured,)
        assert axes[f"set {id_}"].varied
        assert not axes[id_].varied
