"""One side of a comparison: a set on the disk, or a parameter file and the set that it makes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.comparison.cut_parts import OWN, Product, products
from geomgen.comparison.shape_changes import State
from geomgen.errors import FileWriteError, GeomgenError, ParameterError
from geomgen.parameters import Parameters, fingerprint, load
from geomgen.parameters.reading.key_location import lines_told
from geomgen.regeneration.store import Store
from geomgen.verdicts.check import Check
from geomgen.workflows.building.build import CHECKS, USED, build
from geomgen.workflows.building.outcome import read_checks
from geomgen.workflows.handing_off.hand_off import asks, fill

if TYPE_CHECKING:
    from geomgen.drafting.record import Drawing
    from geomgen.kernel.mesh import Mesh

Progress = Callable[[str], None]
Row = dict[str, Any]


@dataclass(frozen=True)
class Side:
    """A set as it stands on the disk.

    `rows` are the manifest's, by path, with the hashes that the files have now. `built` says that
    the set was made for this comparison. `written` are the values as the builder wrote them, None
    for a set. `findings` are files that are no longer those of the manifest.
    """

    label: str
    folder: Path
    parameters: Parameters
    rows: Mapping[str, Row]
    changed: frozenset[str]
    checks: tuple[Check, ...]
    findings: tuple[str, ...]
    built: bool = False
    written: Mapping[str, str] | None = None
    _meshes: "dict[str, Mesh]" = field(default_factory=dict)

    @property
    def handed_off(self) -> bool:
        """Say whether the set holds files for the shops."""
        return any(product.shop in OWN for product in self.products.values())

    @property
    def products(self) -> dict[str, Product]:
        """Return what is handed to the shops, and the finished parts, by folder and name."""
        return products(self.rows.values())

    @property
    def states(self) -> dict[str, State]:
        """Return the finished parts by name."""
        return {
            str(row["part"]): self.state(path.removesuffix("_mm.stl"))
            for path, row in self.rows.items()
            if row["what"] == "mesh" and "/" not in path
        }

    def state(self, name: str) -> State:
        """Return a solid by folder and name, as its STEP and STL stand on the disk."""
        mesh, solid = self.rows[f"{name}_mm.stl"], self.rows[f"{name}_mm.step"]
        proven = not {f"{name}_mm.stl", f"{name}_mm.step"} & self.changed
        off = max(mesh["deviation_mesh_to_solid_mm"], mesh["deviation_solid_to_mesh_mm"])
        return State(
            str(solid["sha256"]),
            partial(self.mesh, name),
            float(off) if proven else None,
            (solid["volume_mm3"], solid["volume_error_bound_mm3"]) if proven else None,
            (solid["area_mm2"], solid["area_error_bound_mm2"]) if proven else None,
        )

    def mesh(self, name: str) -> "Mesh":
        """Return the triangles of a solid's STL by folder and name, read once."""
        from geomgen.files.set_reading import mesh_in

        if name not in self._meshes:
            path = f"{name}_mm.stl"
            tolerance = float(self.rows[path]["mesh_tolerance_mm"])
            self._meshes[name] = mesh_in(self.folder / path, tolerance)
        return self._meshes[name]

    def drawing(self, product: Product) -> "Drawing | None":
        """Return a product's drawing as its DXF holds it; None when it has none."""
        from geomgen.drafting.formats.dxf.quick_reading import read_quickly

        path = next((path for path in product.files if path.endswith(".dxf")), None)
        return None if path is None else read_quickly(self.folder / path)


def side_of(
    given: Path,
    overrides: Sequence[str],
    out: Path,
    spare: Path,
    say: Progress,
    store: Store | None = None,
    shops: str | None = None,
) -> Side:
    """Return a side of a comparison.

    A folder has to hold a complete set. A parameter file stands for the set of the same parameters
    in `out` if there is one; otherwise it is built into `spare`, which takes half a minute. With
    `shops` its files for the shops are made too, where it asks for any; the text is the reason
    that stands on them where a check fails. Raises ParameterError for what is neither file nor
    folder, FileWriteError for a set that is not whole.
    """
    checked_input(given, overrides)
    if given.is_dir():
        return _set_in(given, str(given))
    p = load(given, overrides)
    known = _known(p, out)
    label = " ".join([given.name, *(f"--set {text}" for text in overrides)])
    due = shops is not None and asks(p)
    if known is not None and (known.handed_off or not due):
        return _with_words(known, label, p)
    if due:
        return _with_words(_handed_off(p, spare, shops or "", label, say, store), label, p)
    say(f"building {given.name}: it takes half a minute")
    result = build(given, overrides, spare, say, store)
    made = _set_in(result.folder, label, built=True)
    return _with_words(made, label, p)


def _handed_off(
    p: Parameters, spare: Path, reason: str, label: str, say: Progress, store: Store | None
) -> Side:
    """Hand a file off into a folder of its own, whatever its checks say: only to be compared."""
    say(f"making the shops' files of {label}: it takes a minute or two")
    folder = spare / p.name
    folder.mkdir(parents=True)
    with lines_told(p):
        fill(folder, p, reason, say, store)
    return _set_in(folder, label, built=True)


def checked_input(given: Path, overrides: Sequence[str]) -> None:
    """Refuse what can't be a side of a comparison, before anything that takes long.

    ParameterError for what is neither folder nor parameter file, or a file that is refused.
    """
    if given.is_dir():
        if overrides:
            raise ParameterError(
                "a set that was built can't be overridden",
                file=given,
                allowed="overrides with a parameter file",
                advice="compare with the parameter file, or leave the overrides out",
            )
        _is_set(given)
    elif given.is_file():
        load(given, overrides)
    else:
        raise ParameterError(
            "neither a parameter file nor a folder of geomgen's"
            if given.exists()
            else "there is no such file or folder",
            file=given,
            written=str(given),
            advice="name a parameter file, or a folder that geomgen build or handoff made",
        )


def _is_set(folder: Path) -> None:
    from geomgen.files.manifest import NAME

    if not (folder / NAME).is_file():
        raise ParameterError(
            "neither a parameter file nor a folder of geomgen's: it holds no manifest",
            file=folder,
            written=str(folder),
            advice="name a parameter file, or a folder that geomgen build or handoff made",
        )


def _known(p: Parameters, out: Path) -> Side | None:
    """Return the set in `out` if it is whole, unchanged and of these parameters."""
    folder = out / p.name
    try:
        side = _set_in(folder, str(folder))
    except GeomgenError:
        return None
    same = fingerprint(side.parameters) == fingerprint(p)
    return side if same and not side.findings else None


def _with_words(side: Side, label: str, p: Parameters) -> Side:
    return replace(side, label=label, parameters=p, written=p.written)


def _set_in(folder: Path, label: str, built: bool = False) -> Side:
    """Return the set in a folder, everything hashed again."""
    from geomgen.files.manifest import read_manifest, verify

    _is_set(folder)
    known = read_manifest(folder)
    rows = _rows(folder, known)
    _whole(folder, rows)
    findings = verify(folder)
    hashes = _hashed(folder, rows)
    changed = frozenset(path for path, row in rows.items() if row["sha256"] != hashes[path])
    now = {path: {**row, "sha256": hashes[path]} for path, row in rows.items()}
    p = _parameters(folder)
    if fingerprint(p) != known.get("parameters_sha256"):
        findings.append(f"{USED}: its parameters are not those that the set was made from")
    named = tuple(f"{label}: {text}" for text in findings)
    return Side(label, folder, p, now, changed, read_checks(folder), named, built)


def _rows(folder: Path, known: Row) -> dict[str, Row]:
    try:
        return {str(row["file"]): row for row in known["files"] if row["what"] and row["sha256"]}
    except (KeyError, TypeError) as error:
        raise _not_whole(folder, "its manifest has rows that are not geomgen's") from error


def _whole(folder: Path, rows: Mapping[str, Row]) -> None:
    if not any(row["what"] == "mesh" for row in rows.values()):
        raise _not_whole(folder, "it holds the outcome of a check, no solids")
    lost = sorted(path for path in rows if not (folder / path).is_file())
    if lost:
        raise _not_whole(folder, f"files are missing: {', '.join(lost[:5])}")
    alone = [p for p, row in rows.items() if row["what"] == "mesh" and _solid(p) not in rows]
    if alone or CHECKS not in rows or USED not in rows:
        raise _not_whole(folder, "its manifest does not list all that a set holds")


def _solid(path: str) -> str:
    return path.removesuffix(".stl") + ".step"


def _not_whole(folder: Path, problem: str) -> FileWriteError:
    return FileWriteError(
        f"it is not a complete set: {problem}",
        path=folder,
        advice="build it again: geomgen build FILE",
    )


def _hashed(folder: Path, rows: Mapping[str, Row]) -> dict[str, str]:
    from geomgen.files.disk import disk_errors, sha256

    with disk_errors(folder):
        return {path: sha256(folder / path) for path in rows}


def _parameters(folder: Path) -> Parameters:
    try:
        return load(folder / USED)
    except GeomgenError as error:
        raise _not_whole(folder, f"{USED} can't be read any more: {error}") from error
