"""What a worker does with a job, with a made-up build in the place of the kernel's."""

import pickle
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import made_outcomes
import pytest
from started import forked_only

from geomgen.errors import GeometryError
from geomgen.parameters import fingerprint, load
from geomgen.processes import role
from geomgen.processes.isolated import isolated
from geomgen.regeneration import first, regenerating
from geomgen.studies.row import outcome_from
from geomgen.sweeping.variant import VariantJob, evaluate, store_of, warm
from geomgen.sweeping.versions import versions_used
from geomgen.verdicts.first import FirstCheck

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


@pytest.fixture
def job():
    p = load(CONFIG)
    return VariantJob(1, p, fingerprint(p), versions_used())


def build(p, store, progress=None, jobs=2):
    """Answer as `regenerate` does; the pieces say whether threads were allowed."""
    made = int(role.threads_allowed())
    return SimpleNamespace(checks=made_outcomes.figures(p), made=made, kept=7)


def outcome(job):
    return outcome_from(isolated(evaluate, job, 60.0))


@forked_only
def test_a_variant_is_built_without_threads_and_measured(job, monkeypatch):
    monkeypatch.setattr(regenerating, "regenerate", build)
    found = outcome(job)
    assert (found.status, found.passed) == ("built", True)
    assert (found.made, found.kept) == (0, 7)
    assert found.checks == made_outcomes.figures(job.parameters)
    assert role.threads_allowed()


@forked_only
def test_a_part_that_can_not_be_built_is_a_row(job, monkeypatch):
    def fail(*_, **__):
        raise GeometryError("the walls meet", part="pod", step="inner wall", look_at=["pod.wall"])

    monkeypatch.setattr(regenerating, "regenerate", fail)
    found = outcome(job)
    assert (found.status, found.part) == ("not built", "pod")
    assert found.message.splitlines()[0] == "the walls meet"
    assert "pod.wall" in found.message


@forked_only
def test_first_answers_say_what_waits(job, monkeypatch):
    """Through a process: what is not final is named; where meshes tell nothing, it is exact."""
    checks = made_outcomes.figures(job.parameters)
    told = tuple(FirstCheck(check, check.id != "exit.area") for check in checks)
    found = SimpleNamespace(checks=told, made=3, kept=4, why="")
    monkeypatch.setattr(regenerating, "regenerate", build)
    monkeypatch.setattr(first, "first_answers", lambda p, store, jobs: found)
    here = outcome(replace(job, first=True))
    assert (here.exact, here.waits, here.checks) == (False, {"exit.area"}, checks)
    assert outcome(job).exact
    found.why = "what meets there can't be told from meshes"
    assert outcome(replace(job, first=True)).exact


@forked_only
def test_a_job_carries_all_that_it_needs(monkeypatch, tmp_path):
    """Through pickle, and with the files gone: the aerofoil points came along."""
    monkeypatch.setattr(regenerating, "regenerate", build)
    for name in ("saltmarsh.toml", "curlew.dat"):
        shutil.copy(CONFIG.parent / name, tmp_path)
    p = load(tmp_path / "saltmarsh.toml")
    sent = pickle.dumps(VariantJob(1, p, fingerprint(p), versions_used()))
    for path in tmp_path.iterdir():
        path.unlink()
    again = pickle.loads(sent)
    assert again.parameters.aerofoils == p.aerofoils
    assert again.parameters.aerofoils
    assert len(sent) < 100_000
    assert outcome(again).status == "built"


def test_other_versions_do_not_answer(job):
    other = replace(job, made_with=(*job.made_with[:-1], ("source", "older")))
    assert outcome(other).status == "fault"
    assert "instead of older" in outcome(other).message


def test_parameters_that_changed_on_the_way_do_not_answer(job):
    found = outcome(replace(job, key="0" * 64))
    assert "did not arrive as they were sent" in found.message


def test_without_a_folder_there_is_no_store(tmp_path):
    assert store_of(None) is None
    assert store_of(str(tmp_path / "elsewhere" / ".kept")) is None
    assert store_of(str(tmp_path / ".kept")).folder == tmp_path / ".kept"


def test_a_warm_worker_has_the_kernel():
    warm()
    assert "OCP" in sys.modules


@pytest.mark.long
def test_a_warm_worker_loads_nothing_more_for_a_variant(kept):
    """Each variant has a process of its own: what a worker lacks is loaded anew in each."""
    code = (
        "import sys; from dataclasses import replace; from geomgen.sweeping.variant import *; "
        "from geomgen.sweeping.versions import versions_used; "
        "from geomgen.parameters import load, fingerprint; warm(); "
        f"p = load({str(CONFIG)!r}, ['firewall.thickness=0.52 mm']); before = set(sys.modules); "
        f"job = VariantJob(1, p, fingerprint(p), versions_used(), {str(kept.folder)!r}); "
        "evaluate(replace(job, first=True)); evaluate(job); "
        "more = {n for n in set(sys.modules) - before if n.startswith('geomgen')}; "
        "assert not more, sorted(more)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
