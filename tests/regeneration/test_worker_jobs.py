"""What the processes of the pool do: nothing that a job needs is imported job by job."""

import subprocess
import sys
from pathlib import Path

SALTMARSH = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
ASKS = """
import sys
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
"""


def test_jobs_import_nothing_more() -> None:
    """A forked process would import it again for each regeneration."""
    ran = subprocess.run(
        [sys.executable, "-c", ASKS, str(SALTMARSH)], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]", ran.stdout
