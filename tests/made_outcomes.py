"""Made-up evaluators for studies: milliseconds each, and every way to end badly."""

import os
import signal
import time
from dataclasses import replace

from geomgen.studies.row import VariantOutcome
from geomgen.verdicts.check import Check, Limits


def warm():
    """Load nothing."""


def check(id_, value, limits, comparison, unit="mm", word=""):
    """Return a check, judged by its limits."""
    low, high = limits.low, limits.high
    room = [value - low if low is not None else None, high - value if high is not None else None]
    margin = min((r for r in room if r is not None), default=None)
    verdict = "pass" if margin is None or margin >= 0 else "fail"
    return Check(
        id_, "pod", f"what {id_} is", value, unit, limits, comparison, margin, verdict, written=word
    )


def figures(p):
    """Return plain closed forms of two parameters: a mass to keep low, a gap to keep high."""
    length, wall = p.spinner.length, p.pod.wall
    mass = check(
        "firewall.mass", wall / 4.0, Limits("at most 1.300 kg", None, 1.3), "at most", "kg"
    )
    room = 260.0 - length + 2 * wall
    least = Limits("at least 60.00 mm", 60.0, None)
    gap = check("prop.radial_clearance", room, least, "at least")
    area = check("exit.area", 100 * length, Limits("no limit set"), "none", "mm2")
    return (mass, gap, area)


def closed_form(job):
    """Answer at once."""
    return VariantOutcome("built", figures(job.parameters), made=1, kept=2).as_dict()


def mark_warm():
    """Warm a worker: its process says so from then on."""
    os.environ["GEOMGEN_TEST_WARM"] = str(os.getpid())


def only_warm(job):
    """Answer in a child of a warm worker alone."""
    if os.environ["GEOMGEN_TEST_WARM"] != str(os.getppid()):
        raise RuntimeError("the worker is not warm")
    return closed_form(job)


def slow(job):
    """Answer after a fifth of a second."""
    time.sleep(0.2)
    return closed_form(job)


def every_way(job):
    """End as the spinner's length says."""
    length = round(job.parameters.spinner.length)
    if length == 181:
        os.kill(os.getpid(), signal.SIGSEGV)
    if length == 182:
        os._exit(7)
    if length == 183:
        time.sleep(600)
    if length == 184:
        raise ZeroDivisionError("a fault")
    if length == 185:
        return VariantOutcome("not built", part="pod", message="the walls meet").as_dict()
    return closed_form(job)


def noted(folder):
    """Return nothing but where each call leaves a mark: one byte a call in `calls`."""
    with open(os.path.join(folder, "calls"), "ab") as file:
        file.write(b".")


def marked(job):
    """Leave a mark in the folder that the environment names, then answer slowly."""
    noted(os.environ["GEOMGEN_TEST_FOLDER"])
    return slow(job)


def counted(job):
    """Leave a mark as `marked` does, and answer at once."""
    noted(os.environ["GEOMGEN_TEST_FOLDER"])
    return closed_form(job)


def guarded_by(work, limit, job):
    """Do a job in a process of its own."""
    from geomgen.processes.isolated import isolated

    return isolated(work, job, limit)


def sleepy(seconds):
    """Sleep."""
    time.sleep(seconds)
    return seconds


def crash(_):
    """Crash as the kernel does."""
    os.kill(os.getpid(), signal.SIGSEGV)


def add_path(folder):
    """Let a worker on the same machine find the test's own modules."""
    import sys

    sys.path.insert(0, folder)


AIR, OFF = "cooling.air_rise.climb", 0.5


def told_first(job):
    """Answer with first answers where they are asked for, else exactly."""
    exact = (*figures(job.parameters), heated(job.parameters))
    return (first_of(exact) if job.first else VariantOutcome("built", exact)).as_dict()


def told_of_one_figure(job):
    """Answer first with a gap alone, far inside its limit; the air waits: nothing is at odds."""
    gap = check("prop.radial_clearance", 90.0, Limits("at least 60.00 mm", 60.0, None), "at least")
    exact = (gap, heated(job.parameters))
    return (first_of(exact) if job.first else VariantOutcome("built", exact)).as_dict()


def heated(p):
    """Return a figure that only exact answers have: warmer with a thicker wall."""
    limits = Limits("at most 62.00 K", None, 62.0)
    return check(AIR, 50.0 + 2 * p.pod.wall, limits, "at most", "K")


def first_of(exact, off=0.4):
    """Return first answers: lengths off by less than their bound, the air not told at all."""
    found, waits = [], {AIR}
    for one in exact:
        if one.id == AIR:
            one = replace(one, measured=None, margin=None, verdict="not_measured")
        elif one.unit == "mm":
            one = check(one.id, one.measured + off, one.target, one.comparison)
            one = replace(one, error_bound=OFF)
            waits |= {one.id} if abs(one.margin) <= OFF else set()
        found.append(one)
    return VariantOutcome("built", tuple(found), exact=False, waits=frozenset(waits))


def trading(many):
    """Return exact and first outcomes of variants that trade a mass for two gaps, none the best."""
    import numpy as np

    rng = np.random.default_rng(3)
    mass, gap, off = rng.random(many), rng.random(many), rng.uniform(-OFF, OFF, (many, 2))
    light, wide = Limits("at most 9 kg", None, 9.0), Limits("at least 20 mm", 20.0, None)

    def one(i, off, bound):
        rows = (
            check("firewall.mass", float(2 + mass[i]), light, "at most", "kg"),
            check("prop.radial_clearance", float(30 * mass[i] + 22 + off[0]), wide, "at least"),
            check(
                "prop.tail_gap", float(40 - 15 * mass[i] + 2 * gap[i] + off[1]), wide, "at least"
            ),
        )
        return tuple(replace(row, error_bound=bound) for row in rows)

    exact = [VariantOutcome("built", one(i, (0.0, 0.0), 1e-6)) for i in range(many)]
    first = [VariantOutcome("built", one(i, off[i], OFF), exact=False) for i in range(many)]
    return exact, first


def told_wrongly(job):
    """Answer first with a gap that is further off than its bound."""
    exact = (*figures(job.parameters), heated(job.parameters))
    first = first_of(exact, off=3 * OFF)
    return (first if job.first else VariantOutcome("built", exact)).as_dict()
