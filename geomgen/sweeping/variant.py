"""One variant of a study, built and measured: what a worker process does with a job."""

import importlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.errors import GeometryError, ParameterError
from geomgen.parameters import Parameters, fingerprint

if TYPE_CHECKING:
    from geomgen.regeneration.store import Store
    from geomgen.studies.row import VariantOutcome


@dataclass(frozen=True)
class VariantJob:
    """All that a worker needs, wherever it runs: no file of this machine is read.

    `parameters` are the whole of the variant, aerofoil points with them; `store` is the folder of
    the cache, where there is one. `made_with` are the versions that the question was asked with.
    `first` asks for first answers, by meshes, where there are any.
    """

    number: int
    parameters: Parameters
    key: str
    made_with: tuple[tuple[str, str], ...]
    store: str | None = None
    first: bool = False


def evaluate(job: VariantJob) -> dict[str, Any]:
    """Return a variant's outcome as a plain row (`studies.row.VariantOutcome.as_dict`).

    A part that can't be built is a row, too. Where first answers are asked for and meshes tell
    nothing, it is answered exactly.
    """
    from geomgen.regeneration.regenerating import regenerate
    from geomgen.studies.row import VariantOutcome

    _same_versions(job)
    try:
        told = _first(job) if job.first else None
        if told is not None:
            return told.as_dict()
        made = regenerate(job.parameters, store_of(job.store), jobs=1)
    except GeometryError as error:
        return VariantOutcome("not built", part=error.part, message=_without_part(error)).as_dict()
    except ParameterError as error:
        return VariantOutcome("refused", message=str(error)).as_dict()
    return VariantOutcome("built", made.checks, made=made.made, kept=made.kept).as_dict()


def _first(job: VariantJob) -> "VariantOutcome | None":
    """Return what meshes tell of a variant; None where that is nothing."""
    from geomgen.regeneration.first import first_answers
    from geomgen.studies.row import VariantOutcome

    try:
        found = first_answers(job.parameters, store_of(job.store), jobs=1)
    except GeometryError:
        # What can't be built is said by the exact way, in its words.
        return None
    if found.why:
        return None
    checks = tuple(one.check for one in found.checks)
    waits = frozenset(one.check.id for one in found.checks if not one.final)
    return VariantOutcome(
        "built", checks, made=found.made, kept=found.kept, exact=False, waits=waits
    )


# What a variant asks for beyond what makes its bodies.
ASKED = (
    "air.potential.kernels",
    "balance.judged",
    "measurements.survey.whole",
    "regeneration.first",
    "regeneration.regenerating",
    "shapes.assembly.all_parts",
    "studies.row",
    "workflows.building.build",
)


def warm() -> None:
    """Load the kernel and all that builds and measures, once a worker; note which it is."""
    from geomgen.regeneration.worker_jobs import ready
    from geomgen.sweeping.versions import versions_used

    versions_used()
    ready()
    for module in ASKED:
        importlib.import_module(f"geomgen.{module}")


def store_of(folder: str | None) -> "Store | None":
    """Return the store in a folder; None without one, and where its output folder is not here."""
    from geomgen.regeneration.store import Store

    return Store(folder) if folder is not None and Path(folder).parent.is_dir() else None


def _same_versions(job: VariantJob) -> None:
    """Refuse to answer with another version than the one that was asked."""
    from geomgen.sweeping.versions import versions_used

    here = dict(versions_used())
    other = [f"{n} {here.get(n)} instead of {v}" for n, v in job.made_with if here.get(n) != v]
    if other:
        raise RuntimeError(f"the worker has {', '.join(other)}")
    if fingerprint(job.parameters) != job.key:
        raise RuntimeError("the parameters did not arrive as they were sent")


def _without_part(error: GeometryError) -> str:
    return str(error).removeprefix(f"{error.part}: ")
