"""What a set of files is: every file with its hash, its figures, and what made it."""

import json
import platform
from collections.abc import Iterable
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any

from geomgen.errors import FileWriteError
from geomgen.files.disk import sha256, write_bytes

if TYPE_CHECKING:
    from geomgen.files.proof import MarkedProof, StepProof, StlProof
    from geomgen.kernel.brep.boxes import Box
    from geomgen.kernel.solids.properties import Figures

NAME = "manifest.json"
FORMAT = 1
PACKAGES = (
    "geomgen",
    "cadquery-ocp",
    "numpy",
    "scipy",
    "trimesh",
    "manifold3d",
    "shapely",
    "ezdxf",
    "reportlab",
    "vtk",
    "lib3mf",
    "jinja2",
    "plotly",
)
Entry = dict[str, Any]


def versions() -> dict[str, str]:
    """Return the versions of everything that had a hand in the geometry."""
    found = {"python": platform.python_version()}
    for package in PACKAGES:
        try:
            found[package] = version(package)
        except PackageNotFoundError:
            found[package] = "unknown"
    return found


def _box(box: "Box") -> dict[str, list[float]]:
    return {
        "low_mm": [round(c, 4) + 0.0 for c in box.low],
        "high_mm": [round(c, 4) + 0.0 for c in box.high],
    }


def _solid(known: "Figures") -> Entry:
    return {
        "bounding_box": _box(known.box),
        "volume_mm3": round(known.volume.value, 3),
        "volume_error_bound_mm3": round(known.volume.error, 3),
        "area_mm2": round(known.area.value, 3),
        "area_error_bound_mm2": round(known.area.error, 3),
    }


def stl_entry(part: str, proof: "StlProof", known: "Figures") -> Entry:
    """Return the manifest's entry for a proven STL; volume, area and box are the solid's."""
    return {
        "file": proof.name,
        "what": "mesh",
        "part": part,
        "sha256": proof.sha256,
        "bytes": proof.bytes,
        "unit": "mm",
        **_solid(known),
        "triangles": proof.triangles,
        "mesh_tolerance_mm": proof.mesh_tolerance,
        "deviation_mesh_to_solid_mm": round(proof.mesh_to_solid, 6),
        "deviation_solid_to_mesh_mm": round(proof.solid_to_mesh, 6),
        "deviation_at_mm": [round(float(c), 4) + 0.0 for c in proof.worst],
        "deviation_samples": proof.samples,
        "mesh_volume_mm3": round(proof.volume, 3),
    }


def marked_entry(part: str, proof: "MarkedProof") -> Entry:
    """Return the manifest's entry for a proven mesh with marks that its solid does not have."""
    return {
        "file": proof.name,
        "what": "marked mesh",
        "part": part,
        "sha256": proof.sha256,
        "bytes": proof.bytes,
        "unit": "mm",
        "bounding_box": _box(proof.box),
        "triangles": proof.triangles,
        "mesh_volume_mm3": round(proof.volume, 3),
    }


def step_entry(part: str, proof: "StepProof", known: "Figures | None" = None) -> Entry:
    """Return the manifest's entry for a proven STEP; an assembly has no `known` of its own."""
    solid = (
        _solid(known)
        if known is not None
        else {
            "bounding_box": _box(proof.box),
            "volume_mm3": round(sum(proof.volumes.values()), 3),
        }
    )
    return {
        "file": proof.name,
        "what": "solid" if len(proof.volumes) == 1 else "assembly",
        "part": part,
        "parts": list(proof.volumes),
        "sha256": proof.sha256,
        "bytes": proof.bytes,
        "unit": proof.unit,
        "schema": proof.schema,
        **solid,
    }


def file_entry(folder: Path, file: str, what: str) -> Entry:
    """Return the entry of any other file, by its path inside the folder."""
    path = folder / file
    return {"file": file, "what": what, "sha256": sha256(path), "bytes": path.stat().st_size}


def manifest(
    name: str, title: str, revision: str, fingerprint: str, entries: Iterable[Entry]
) -> dict[str, Any]:
    """Return the manifest of a set: the same set gives the same manifest, whenever it is made."""
    files = sorted(entries, key=lambda entry: str(entry["file"]))
    return {
        "format": FORMAT,
        "name": name,
        "title": title,
        "revision": revision,
        "parameters_sha256": fingerprint,
        "made_with": versions(),
        "note": "a geometry aid, not an airworthiness approval",
        "files": files,
    }


def write_manifest(folder: Path, content: dict[str, Any]) -> Path:
    """Write `manifest.json` into the folder."""
    path = folder / NAME
    text = json.dumps(content, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(path, text.encode("ascii"))
    return path


def read_manifest(folder: Path) -> dict[str, Any]:
    """Return a folder's manifest; FileWriteError when there is none or it isn't one."""
    path = folder / NAME
    try:
        content = json.loads(path.read_bytes())
    except FileNotFoundError as error:
        if not folder.exists():
            raise FileWriteError(
                "there is no such folder",
                path=str(folder),
                advice="name the folder of a set, out/NAME if you said nothing else",
            ) from error
        raise FileWriteError(
            "there is no manifest", path=folder.resolve().name, advice="build the set again"
        ) from error
    except (OSError, ValueError, RecursionError) as error:
        raise FileWriteError(
            "its manifest can't be read", path=folder.resolve().name, advice="build the set again"
        ) from error
    if not isinstance(content, dict) or not _all_rows(content.get("files")):
        raise FileWriteError(
            "its manifest is not one of geomgen's",
            path=folder.resolve().name,
            advice="build the set again",
        )
    return content


def _all_rows(rows: object) -> bool:
    """Say whether rows are those of a manifest: each names a file inside the folder."""
    return isinstance(rows, list) and all(_is_row(row) for row in rows)


def _is_row(row: object) -> bool:
    if not isinstance(row, dict):
        return False
    words = all(isinstance(row.get(key), str) for key in ("file", "what", "sha256"))
    if not words or type(row.get("bytes")) is not int:
        return False
    path = PurePosixPath(row["file"])
    return "\0" not in row["file"] and not path.is_absolute() and ".." not in path.parts


def listed(folder: Path) -> set[str]:
    """Return the paths inside the folder that a manifest answers for, its own included."""
    return {NAME, *(str(entry.get("file")) for entry in read_manifest(folder)["files"])}


def present(folder: Path) -> set[str]:
    """Return the paths of all files inside the folder."""
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_symlink() or not path.is_dir()
    }


def empty(folder: Path) -> list[str]:
    """Return the paths of the folders inside the folder that hold nothing."""
    inside = (path for path in folder.rglob("*") if path.is_dir() and not path.is_symlink())
    return sorted(path.relative_to(folder).as_posix() for path in inside if not any(path.iterdir()))


def verify(folder: Path) -> list[str]:
    """Return what does not agree with the manifest: lost, changed and unknown files."""
    findings = []
    known = read_manifest(folder)["files"]
    for entry in known:
        path = folder / str(entry["file"])
        if not path.is_file():
            findings.append(f"{entry['file']}: it is missing")
        elif path.stat().st_size != entry["bytes"] or sha256(path) != entry["sha256"]:
            findings.append(f"{entry['file']}: it was changed after it was verified")
    strangers = sorted(present(folder) - listed(folder))
    findings += [f"{name}: the manifest does not know it" for name in strangers]
    return findings + [f"{name}: a folder without a file" for name in empty(folder)]
