"""What the processes of the pool do: nothing that a job needs is imported job by job."""

import subprocess
import sys
from gc import collect
from pathlib import Path
from weakref import ref

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.solids.properties import volume
from geomgen.kernel.trimming import mesh_cut
from geomgen.kernel.trimming.mesh_cut import shell_of
from geomgen.parameters import load
from geomgen.regeneration.cache import BuildCache
from geomgen.regeneration.worker_jobs import RegenerationWorker

SALTMARSH = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
ASKS = """
import gc
import sys
import weakref
from geomgen.parameters import load
from geomgen.regeneration.worker_jobs import RegenerationWorker, ready
from geomgen.regeneration.cache import BuildCache

ready()
worker = RegenerationWorker(load(sys.argv[1]), BuildCache(None))
before = set(sys.modules)
worker.work(("places",))
for name in ("passage 0", "boom", "tailplane", "engine", "spinner", "wheels"):
    _, rows = worker.work(("step", name, {}))
row = next(row for row in rows)
facts = worker.work(("mesh", row["name"], row["solid"], 0.5))
worker.fresh_body(row["solid"], facts["mesh"])
print(sorted(name for name in set(sys.modules) - before if "geomgen" in name or "." not in name))

class Rubbish:
    pass

one = Rubbish()
one.itself, seen, kept = one, weakref.ref(one), gc.get_freeze_count()
del one
ready()
gc.collect()
print(gc.isenabled(), len(gc.get_objects()) < kept, seen())
"""


@pytest.fixture(scope="module")
def said() -> list[str]:
    ran = subprocess.run(
        [sys.executable, "-c", ASKS, str(SALTMARSH)], capture_output=True, text=True, check=True
    )
    return ran.stdout.splitlines()


def test_jobs_import_nothing_more(said) -> None:
    """A forked process would import it again for each regeneration."""
    assert said[0] == "[]"


def test_rubbish_is_looked_for_but_not_in_what_was_imported(said) -> None:
    """Each forked process would look through all of it once more."""
    assert said[1] == "True True None"


def test_a_kept_body_does_not_keep_the_worker_that_made_it() -> None:
    """A process that stays makes a worker for each edit, each with all meshes that it has read."""
    cache = BuildCache(None)
    worker = RegenerationWorker(load(SALTMARSH), cache)
    _, rows = worker.work(("step", "spinner", {}))
    solid = rows[0]["solid"]
    mesh = worker.work(("mesh", rows[0]["name"], solid, 0.5))["mesh"]
    body, left = worker.body(solid, mesh), ref(worker)
    del worker
    collect()
    assert left() is None
    other = RegenerationWorker(load(SALTMARSH), cache)
    assert other.body(solid, mesh) is body
    assert volume(other.fresh_body(solid, mesh).solid).value == pytest.approx(
        body.hull.volume(), rel=0.02
    )


def test_what_is_known_by_its_mesh_alone_is_read_once() -> None:
    corners = np.array([[0.0, 0, 0], [9.0, 0, 0], [0, 9.0, 0], [0, 0, 9.0]])
    sides = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    cache = BuildCache(None)
    digest = cache.keep_body(MeshPart(corners, sides, 0.1).as_bytes())
    worker = RegenerationWorker(load(SALTMARSH), cache, 0.1)
    body = worker.fresh_body(digest, digest)
    assert worker.solid(digest) is body.part
    assert body.part.volume == pytest.approx(121.5)


def test_a_body_that_is_cut_again_is_not_meshed_again(monkeypatch) -> None:
    """Not in another process either; the mesh is the same to the last bit."""
    cache, made = BuildCache(None), []
    block = box((0.0, 0.0, 0.0), (9.0, 6.0, 4.0))

    def noted(shape, tolerance, part):
        made.append((part, tolerance))
        return shell_of(shape, tolerance, part)

    monkeypatch.setattr(mesh_cut, "shell_of", noted)
    for x in (4.0, 4.0, 6.0):
        worker = RegenerationWorker(load(SALTMARSH), cache, 0.1)
        rod = cylinder((x, 3.0, -1.0), (0.0, 0.0, 1.0), 1.0, 9.0)
        outside, _ = mesh_cut.divided(block, [rod], "block", 0.1, worker.shell)
        anew, _ = mesh_cut.divided(block, [rod], "block", 0.1)
        assert [each.as_bytes() for each in outside] == [each.as_bytes() for each in anew]
    assert made == [("block", 0.1), ("block", 0.05), ("block", 0.05)]
    worker.shell(block, 0.2, "other")
    assert made[3:] == [("other", 0.2)]
