"""What many tests share: the example's solids, meshes and files, each made once."""

from pathlib import Path

import pytest

CONFIGS = Path(__file__).parents[1] / "configs"


WHOLE = ("saltmarsh_model", "saltmarsh_meshes", "saltmarsh_set", "saltmarsh_report")
ROOT = Path(__file__).parents[1]


def pytest_xdist_make_scheduler(config, log):
    """Keep a file's tests on one worker, and all files that share the example's solids too."""
    from xdist.scheduler import LoadScopeScheduling

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            file = nodeid.split("::")[0]
            text = (ROOT / file).read_text(encoding="utf-8")
            return "whole" if any(name in text for name in WHOLE) else file

    return ByFile(config, log)


@pytest.fixture(scope="session")
def saltmarsh():
    """Return the example's parameters."""
    from geomgen.parameters import load

    return load(CONFIGS / "saltmarsh.toml")


@pytest.fixture(scope="session")
def saltmarsh_model(saltmarsh):
    """Return the example's solids; copy the model before changing it."""
    from geomgen.pipeline import assemble

    return assemble(saltmarsh)


@pytest.fixture(scope="session")
def saltmarsh_meshes(saltmarsh, saltmarsh_model):
    """Return mesh and deviation of every part of the example."""
    from geomgen.kernel.meshing import meshed

    made = {
        name: meshed(solid, saltmarsh.output.chord_tolerance, part=name)
        for name, solid in saltmarsh_model.parts.items()
    }
    return {name: (m.mesh, m.deviation) for name, m in made.items()}


@pytest.fixture(scope="session")
def saltmarsh_set(tmp_path_factory):
    """Return the result of a whole build of the example, and its folder."""
    from geomgen.pipeline import build

    return build(CONFIGS / "saltmarsh.toml", out=tmp_path_factory.mktemp("out"))


@pytest.fixture(scope="session")
def saltmarsh_report(saltmarsh_set, tmp_path_factory):
    """Return the result of a report of the example, beside a copy of its set."""
    import shutil

    from geomgen.pipeline import report

    out = tmp_path_factory.mktemp("report")
    shutil.copytree(saltmarsh_set.folder, out / "saltmarsh")
    return report(CONFIGS / "saltmarsh.toml", out=out)
