"""Fingerprints tell apart what differs, and know the code and the libraries."""

import re
import sys
from pathlib import Path

from geomgen.regeneration import fingerprints


def test_close_numbers_and_kinds_are_told_apart() -> None:
    values = [1.0, 1.0000000000000002, 1, "1.0", [1.0], {"1.0": None}, None, True]
    assert len({fingerprints.of(value) for value in values}) == len(values)


def test_sha_256_of_the_empty_text() -> None:
    """FIPS 180-4's algorithm; the digest of no bytes is PUBLISHED in NIST's example values."""
    known = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert fingerprints.of_bytes(b"") == known


def test_one_byte_of_any_source_file_changes_it(tmp_path) -> None:
    names = [f"{folder}/a.py" for folder in fingerprints.CODE] + ["kernel/deeper/b.py"]
    for name in names:
        (tmp_path / name).parent.mkdir(exist_ok=True, parents=True)
        (tmp_path / name).write_text("STEP = 1.0")
    was = fingerprints.of_sources(tmp_path)
    assert len(was) == len(names)
    for name in names:
        (tmp_path / name).write_text("STEP = 1.1")
        now = fingerprints.of_sources(tmp_path)
        assert now != was
        was = now


def test_all_that_solids_and_figures_are_made_by_is_looked_at() -> None:
    """What is kept from before another code must not be taken for what this one makes."""
    root = Path(fingerprints.__file__).parents[1]
    looked_at = {name for name, _ in fingerprints.of_sources(root)}
    made_by = ("kernel", "shapes", "measurements", "files", "air/paneling", "air/potential")
    made_by += ("air/slow_layer",)
    unseen = set()
    for file in (file for room in made_by for file in (root / room).rglob("*.py")):
        for module in re.findall(r"(?:from|import) geomgen\.([\w.]+)", file.read_text()):
            path = module.replace(".", "/")
            one = next(p for p in (f"{path}.py", f"{path}/__init__.py") if (root / p).exists())
            if one not in looked_at:
                unseen.add(one)
    # Alone, errors and processes make no figure; units only read and write them.
    plain = ("errors.py", "arrays.py", "units.py", "unit_table.py", "processes/")
    assert not {one for one in unseen if not one.startswith(plain)}


def test_every_library_that_makes_solids_and_figures_is_looked_at() -> None:
    root = Path(fingerprints.__file__).parents[1]
    files = [file for folder in fingerprints.CODE for file in (root / folder).rglob("*.py")]
    rows = (
        re.findall(r"^ *(?:from (\w+)[\w.]* import|import (\w+)$)", file.read_text(), re.M)
        for file in files
    )
    found = {name for pairs in rows for pair in pairs for name in pair if name}
    used = found - set(sys.stdlib_module_names)
    # The last comes with the other, in the one version that that takes.
    names = {"OCP": "cadquery-ocp", "vtkmodules": "vtk", "pydantic_core": "pydantic"}
    needed = {names.get(name, name) for name in used - {"geomgen"}}
    assert needed <= set(fingerprints.LIBRARIES)
    assert "numba" in needed


def test_a_change_of_a_library_or_the_lack_of_a_folder_changes_it(monkeypatch) -> None:
    was = fingerprints.of_program()
    fingerprints.of_program.cache_clear()
    monkeypatch.setattr(fingerprints, "version", lambda name: f"{name} of tomorrow")
    assert fingerprints.of_program() != was
    monkeypatch.undo()
    fingerprints.of_program.cache_clear()
    assert fingerprints.of_program() == was
    monkeypatch.setattr(fingerprints, "CODE", fingerprints.CODE[1:])
    fingerprints.of_program.cache_clear()
    assert fingerprints.of_program() != was
    fingerprints.of_program.cache_clear()
