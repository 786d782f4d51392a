"""One aircraft tried in a process of its own, under limits of processor and wall time."""

import multiprocessing
import re
import resource
import signal
import tempfile
import time
import traceback
from collections import Counter
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from strangers.both_ways import both_ways
from strangers.outcome import SHUT, Outcome

from geomgen.errors import GeometryError, GeomgenError, ParameterError
from geomgen.parameters.records.aircraft import Parameters
from geomgen.processes.role import be_a_child
from geomgen.regeneration import fingerprints
from geomgen.regeneration.worker_jobs import ready

# Seconds of the processor and of the clock, bytes of memory.
CPU, WALL, MEMORY = 120, 900, 12 * 2**30
NO_OPENING = re.compile("is shut|leaks")
STAGES = ("solids", "meshes", "whole", "both")


def tried(grade: str, seed: int, text: str, stage: str = "whole", cpu: int = CPU) -> Outcome:
    """Return what came of a file's text.

    `stage` says how far it is taken: "solids" builds the parts, "meshes" also meshes them and holds
    them to their proofs, "whole" measures and judges them too, as the program's `check` does;
    "both" holds the first answers to the exact ones.
    """
    # Loaded once for all that are tried; a child inherits it.
    ready()
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe(duplex=False)
    child = context.Process(target=_child, args=(theirs, text, stage, cpu), daemon=True)
    started, before = time.perf_counter(), _children_cpu()
    child.start()
    theirs.close()
    answer: dict[str, Any] | None = None
    try:
        if ours.poll(WALL):
            answer = ours.recv()
    except EOFError:
        pass
    finally:
        ours.close()
        if answer is None and child.is_alive():
            child.join(1.0)
        child.kill()
        child.join()
    found = answer or _ended(child.exitcode, time.perf_counter() - started, cpu)
    seconds = {"cpu": _children_cpu() - before, "wall": time.perf_counter() - started}
    rounded = {key: round(value, 2) for key, value in seconds.items()}
    return Outcome(grade, seed, stage, mark_of(text), mark_of_program(), **found, **rounded)


def mark_of(text: str) -> str:
    """Return a short mark of a file's text, to know it again."""
    return fingerprints.of(text)[:12]


def mark_of_program() -> str:
    """Return a short mark of the code under trial."""
    return fingerprints.of_program()[:12]


def _children_cpu() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _ended(code: int | None, wall: float, cpu: int) -> dict[str, Any]:
    """Return what came of a child that gave no answer."""
    if code == -signal.SIGXCPU or (code == -signal.SIGKILL and wall < WALL):
        return {"outcome": "hang", "message": f"no answer in {cpu} s of processor time"}
    if wall >= WALL:
        return {"outcome": "hang", "message": f"no answer in {WALL} s"}
    return {"outcome": "fault", "message": f"the process broke down with {code}"}


def _child(line: Connection, text: str, stage: str, cpu: int) -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (cpu, cpu + 5))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    signal.signal(signal.SIGXCPU, signal.SIG_DFL)
    # Nothing below may start processes of its own: their time would not count.
    be_a_child()
    line.send(_answer(text, stage))
    line.close()


def _answer(text: str, stage: str) -> dict[str, Any]:
    try:
        return _run(text, stage)
    except ParameterError as error:
        return _refused(error, "input", bool(error.key))
    except GeometryError as error:
        return _refused(error, "geometry", any(is_key(key) for key in error.look_at))
    except GeomgenError as error:
        return _refused(error, "file", False)
    except BaseException as error:  # noqa: BLE001 - the very thing that must not happen
        place = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(place.filename).name}:{place.name}"
        words = f"{type(error).__name__} in {where}: {error}"
        return {"outcome": "fault", "message": f"{words}\n{traceback.format_exc()[-1500:]}"}


def is_key(text: str) -> bool:
    """Tell whether a text is a key of a parameter file, and not words about it.

    >>> is_key("pod.wall"), is_key("scoops.cheek.width"), is_key("where wing and pod meet")
    (True, True, False)
    """
    return text.split(".")[0] in Parameters.model_fields and " " not in text


def _refused(error: GeomgenError, by: str, keyed: bool) -> dict[str, Any]:
    return {"outcome": "refused" if keyed else "unclear", "message": str(error), "by": by}


def _run(text: str, stage: str) -> dict[str, Any]:
    from strangers.looking import problems_of

    from geomgen.parameters import load
    from geomgen.regeneration.regenerating import bodies, regenerate
    from geomgen.workflows import assemble

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "stranger.toml"
        file.write_text(text, encoding="utf-8")
        p = load(file)
    if stage == "both":
        return both_ways(p)
    checks: Counter[str] = Counter()
    met = ""
    if stage == "solids":
        problems = problems_of(p, assemble(p), {})
    elif stage == "meshes":
        made = bodies(p, None, jobs=1)
        problems = problems_of(p, made.model, made.meshes)
    else:
        whole = regenerate(p, None, jobs=1)
        problems = problems_of(p, whole.model, whole.meshes, whole.checks)
        checks = Counter(check.verdict for check in whole.checks)
        by_id = {check.id: check for check in whole.checks}
        if by_id["parts.interference"].measured:
            met = by_id["parts.interference"].note
        checks[SHUT] = sum(bool(NO_OPENING.search(check.note)) for check in whole.checks)
    if problems:
        return {"outcome": "wrong", "message": "\n".join(problems), "checks": dict(checks)}
    return {"outcome": "built", "message": met, "checks": dict(checks)}
