"""What was read of a set's files and measured on it, to be taken for files of the same bytes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.verdicts.check import Check

if TYPE_CHECKING:
    from geomgen.files.set_reading import Meshes
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement


@dataclass(frozen=True, eq=False)
class MeasuredSet:
    """The model and meshes [mm] of files of some `hashes`, and what was measured on them."""

    hashes: dict[str, str]
    model: "Model"
    meshes: "Meshes"
    checks: tuple[Check, ...]
    measured: "Sequence[Measurement]"

    def is_of(self, folder: Path, parts: Iterable[str], mesh_tolerance: float) -> bool:
        """Say whether a folder's parts are of these very bytes, to the same tolerance [mm]."""
        return hashes_of(folder, parts) == self.hashes and all(
            mesh.mesh_tolerance == mesh_tolerance for mesh, _ in self.meshes.values()
        )


def hashes_of(folder: Path, parts: Iterable[str]) -> dict[str, str]:
    """Return the SHA-256 of what `read_set` reads of parts, by file name; "" where none is."""
    from geomgen.files.disk import sha256
    from geomgen.files.places import NAME
    from geomgen.files.step import step_name
    from geomgen.files.stl import stl_name

    names = [NAME, *(name_of(part) for part in parts for name_of in (step_name, stl_name))]
    return {name: sha256(folder / name) if (folder / name).is_file() else "" for name in names}
