"""What many tests share: the example's solids, meshes and files, each made once."""

import gc
import os
import signal
from contextlib import nullcontext
from functools import cache
from pathlib import Path

import pytest
from _pytest.doctest import DoctestModule
from hypothesis import is_hypothesis_test, settings

from geomgen.kernel.second_library import second_library

# A first example may import the kernel; how fast anything is, the benchmarks say.
settings.register_profile("the same each time", deadline=None, derandomize=True, max_examples=40)
# Said outright: where CI is set, hypothesis by itself would draw the same in the long run too.
settings.register_profile("by chance", deadline=None, print_blob=True, derandomize=False)

CONFIGS = Path(__file__).parents[1] / "configs"


def by_chance(config) -> bool:
    """Say whether this is a long run, the only one in which anything is drawn by chance."""
    return config.getoption("markexpr") == "long"


def pytest_configure(config):
    """Hold what is drawn, and the order of sets in the workers, before a test is even read."""
    if signal.getsignal(signal.SIGINT) == signal.SIG_IGN:
        # A shell starts what it puts in the background deaf to Ctrl-C, `nohup` to hanging up;
        # the tests of them would wait for ever.
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if signal.getsignal(signal.SIGHUP) == signal.SIG_IGN:
        signal.signal(signal.SIGHUP, signal.SIG_DFL)
    # Before a test uses it by itself: its threads would hang the processes that are forked later.
    second_library()
    settings.load_profile("by chance" if by_chance(config) else "the same each time")
    if not by_chance(config):
        os.environ.setdefault("PYTHONHASHSEED", "0")


@pytest.hookimpl(wrapper=True)
def pytest_collection(session):
    """Leave what is collected out of all later searches for garbage: it stays to the end.

    Those searches, and what forked processes copy for them, cost more than the tests they are in.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path):
    """Look for no examples in the docstrings of test files, which takes a second; they have none.

    What tests share has some.
    """
    found = yield
    if not file_path.name.startswith("test_"):
        return found
    return [one for one in found if not isinstance(one, DoctestModule)]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """Draw for every property in the long run; the default one sees the same few examples."""
    for item in items if by_chance(config) else ():
        if is_hypothesis_test(getattr(item, "obj", None)):
            item.add_marker(pytest.mark.long)


WHOLE = (
    "saltmarsh_bodies",
    "saltmarsh_model",
    "saltmarsh_meshes",
    "saltmarsh_set",
    "saltmarsh_read",
    "saltmarsh_report",
)
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


# Rooms whose tests ask pools for small jobs only; fixtures of the whole session come before.
SMALL = ("aircraft_drawings", "benches", "comparison", "measurements", "reference", "shapes")


@pytest.fixture(scope="module", autouse=True)
def pools_of_small_jobs(request):
    """Start no processes for what takes less time than they do."""
    from in_one_process import one_process

    rooms = (ROOT / "tests" / name for name in SMALL)
    with one_process() if any(map(request.path.is_relative_to, rooms)) else nullcontext():
        yield


@pytest.fixture(scope="session")
def saltmarsh():
    """Return the example's parameters."""
    from geomgen.parameters import load

    return load(CONFIGS / "saltmarsh.toml")


@pytest.fixture(scope="session")
def variant():
    """Return a loader of an example with some keys set otherwise, each state read once."""
    from geomgen.parameters import load

    @cache
    def make(*overrides: str, config: str = "saltmarsh"):
        return load(CONFIGS / f"{config}.toml", list(overrides))

    return make


@pytest.fixture(scope="session")
def kept(tmp_path_factory):
    """Return a store that the tests of one worker share."""
    from geomgen.regeneration.store import Store

    return Store(tmp_path_factory.mktemp("kept"))


@pytest.fixture(scope="session")
def saltmarsh_bodies(saltmarsh, kept):
    """Return the example's solids and proven meshes."""
    from geomgen.regeneration.regenerating import bodies

    return bodies(saltmarsh, kept)


@pytest.fixture(scope="session")
def saltmarsh_model(saltmarsh_bodies):
    """Return the example's solids; copy the model before changing it."""
    return saltmarsh_bodies.model


@pytest.fixture(scope="session")
def saltmarsh_meshes(saltmarsh_bodies):
    """Return mesh and deviation of every part of the example."""
    return {name: (m.mesh, m.deviation) for name, m in saltmarsh_bodies.meshes.items()}


@pytest.fixture(scope="session")
def saltmarsh_set(tmp_path_factory, kept):
    """Return the result of a whole build of the example, and its folder."""
    from geomgen.workflows import build

    return build(CONFIGS / "saltmarsh.toml", out=tmp_path_factory.mktemp("out"), store=kept)


@pytest.fixture(scope="session")
def saltmarsh_read(saltmarsh_set):
    """Return the example's solids and meshes as its files have them."""
    from geomgen.files.set_reading import read_set

    return read_set(saltmarsh_set.folder)


@pytest.fixture(scope="session")
def saltmarsh_report(saltmarsh_set, tmp_path_factory):
    """Return the result of a report of the example, beside a copy of its set."""
    import shutil

    from geomgen.workflows import report

    out = tmp_path_factory.mktemp("report")
    shutil.copytree(saltmarsh_set.folder, out / "saltmarsh")
    return report(CONFIGS / "saltmarsh.toml", out=out)
