"""What only some systems have is used in `processes/` alone; nothing needs it to be imported."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from program_trees import FILES, tree

ROOT = Path(__file__).parents[2]
# Not on Windows; some are not on macOS either (docs.python.org, "Availability").
MODULES = {"fcntl", "grp", "posix", "pty", "pwd", "resource", "termios", "tty"}
NAMES = {
    "os": {
        *("fork", "forkpty", "getpgid", "getppid", "getuid", "geteuid", "getgid", "killpg", "kill"),
        *("mkfifo", "pread", "pwrite", "sched_getaffinity", "sched_setaffinity", "setpgid"),
        *("setsid", "wait", "waitpid", "WIFSIGNALED", "WEXITSTATUS", "WTERMSIG", "O_CLOEXEC"),
        *("O_NOFOLLOW", "O_NONBLOCK", "fchmod", "chown", "umask", "sysconf", "nice"),
    },
    "signal": {
        *("SIGHUP", "SIGKILL", "SIGALRM", "SIGUSR1", "SIGCHLD", "SIGPIPE", "pthread_sigmask"),
        *("alarm", "setitimer", "siginterrupt", "sigwait", "pause"),
    },
    "select": {"poll", "epoll", "kqueue"},
    "time": {"tzset"},
}


def called(node):
    """Return the last word of what a call calls."""
    return getattr(node.func, "attr", "") or getattr(node.func, "id", "")


def used(source):
    """Return what a source uses that only some systems have."""
    found = set()
    for node in ast.walk(source):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.attr in NAMES.get(node.value.id, ()):
                found.add(f"{node.value.id}.{node.attr}")
        elif isinstance(node, ast.ImportFrom):
            names = {alias.name for alias in node.names}
            found |= {f"{node.module}.{n}" for n in names & NAMES.get(node.module or "", set())}
            found |= {node.module} & MODULES
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names} & MODULES
        elif isinstance(node, ast.Call) and called(node).endswith("get_context"):
            found |= {"fork" for word in node.args if ast.unparse(word) == "'fork'"}
    return found


def test_only_processes_knows_what_some_systems_lack():
    odd = {
        str(path.relative_to(ROOT)): names
        for path in FILES
        if path.parent.name != "processes" and (names := used(tree(path)))
    }
    assert odd == {}


@pytest.mark.parametrize(
    "text",
    [
        "import fcntl",
        "import os\nos.fork()",
        "from signal import SIGHUP",
        "import multiprocessing\nmultiprocessing.get_context('fork')",
    ],
)
def test_what_is_not_everywhere_is_found(text):
    assert used(ast.parse(text))


WITHOUT = """
import importlib, multiprocessing, os, pkgutil, select, signal, sys
import asyncio, subprocess, tempfile, uvicorn, starlette.applications, cadquery, filelock, psutil
import concurrent.futures.process, multiprocessing.popen_spawn_posix, multiprocessing.popen_fork
import reportlab.pdfgen.canvas, trimesh, plotly.graph_objects, pyarrow, vtkmodules, ezdxf
names, modules = {names!r}, {modules!r}
for module in modules:
    sys.modules[module] = None
for module, missing in names.items():
    for name in missing:
        if hasattr(sys.modules[module], name):
            delattr(sys.modules[module], name)
sys.platform = "win32"
import geomgen
for found in pkgutil.walk_packages(geomgen.__path__, "geomgen."):
    if not found.name.endswith("__main__"):
        importlib.import_module(found.name)
from geomgen.cli import main
from geomgen.processes.processors import processors
from geomgen.processes.stopping import TOLD, stoppable
from geomgen.processes.children import held_back
with stoppable(), held_back():
    assert processors() >= 1 and TOLD
sys.exit(main(["size", sys.argv[1]]))
"""


def test_all_can_be_imported_where_a_system_has_no_such_names():
    """The names are taken away; the libraries, which have their own ways, come first."""
    text = WITHOUT.format(names={k: sorted(v) for k, v in NAMES.items()}, modules=sorted(MODULES))
    run = subprocess.run(
        [sys.executable, "-c", text, str(ROOT / "configs" / "saltmarsh.toml")],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    assert run.returncode == 0, run.stderr
    assert "inlet" in run.stdout
