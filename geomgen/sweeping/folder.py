"""The folder of a study: tables, a parameter file for each variant, what was asked, the page.

Every file is read back from the disk and held to what was meant.
"""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.errors import GeomgenError
from geomgen.files.disk import proof_failed, write_bytes
from geomgen.files.manifest import Entry, file_entry, manifest, write_manifest
from geomgen.files.output_set import output_set
from geomgen.pages.study_page import CAUTIONS, html
from geomgen.parameters import Parameters, fingerprint, load
from geomgen.parameters.editing.writing import toml_of
from geomgen.parameters.values.aerofoil_name import flat_name
from geomgen.studies.row import VariantOutcome, tally
from geomgen.studies.samples import design_of
from geomgen.studies.table import (
    StudyTable,
    csv_bytes,
    from_csv,
    from_parquet,
    parquet_bytes,
    table_of,
)
from geomgen.studies.vary import Variant
from geomgen.sweeping.figures import Best, best_of
from geomgen.sweeping.page import page_of
from geomgen.sweeping.plan import VARIANTS, SweepPlan, toml_name
from geomgen.sweeping.versions import versions_used

CSV, PARQUET, ASKED, PAGE = "variants.csv", "variants.parquet", "study.json", "study.html"


def write_study(out: Path, name: str, plan: SweepPlan, outcomes: Sequence[VariantOutcome]) -> Best:
    """Write and prove `out/name` in one step; return the best compromises."""
    best = best_of(plan, outcomes)
    with output_set(out, name) as fresh:
        entries = _write_tables(fresh, table_of(plan.varies, plan.variants, outcomes))
        entries += _write_variants(fresh, plan)
        entries.append(_write_asked(fresh, plan, outcomes, best))
        page = page_of(plan, outcomes, best, name)
        write_bytes(fresh / PAGE, html(page).encode("utf-8"))
        entries.append(file_entry(fresh, PAGE, "study page"))
        base = plan.base
        content = manifest(base.name, base.title, base.revision, fingerprint(base), entries)
        write_manifest(fresh, content)
    return best


def _write_tables(fresh: Path, table: StudyTable) -> list[Entry]:
    write_bytes(fresh / CSV, csv_bytes(table))
    write_bytes(fresh / PARQUET, parquet_bytes(table))
    prove_tables(fresh, table)
    return [file_entry(fresh, CSV, "table"), file_entry(fresh, PARQUET, "table")]


def prove_tables(folder: Path, table: StudyTable) -> None:
    """Read both tables back and hold them to what was meant; FileWriteError otherwise."""
    readers = {CSV: lambda data: from_csv(data, table.columns), PARQUET: from_parquet}
    for name, read in readers.items():
        path = folder / name
        try:
            again = read(path.read_bytes())
        except (OSError, ValueError, KeyError) as error:
            raise proof_failed(path, f"it can't be read: {error}") from error
        if again != table:
            raise proof_failed(path, "it does not hold what was meant")


def _write_variants(fresh: Path, plan: SweepPlan) -> list[Entry]:
    folder = fresh / VARIANTS
    folder.mkdir()
    files: dict[str, bytes] = {}
    for variant, record in zip(plan.variants, plan.records, strict=True):
        if isinstance(record, Parameters):
            files |= _variant_files(plan, variant, record)
    for name, data in files.items():
        write_bytes(folder / name, data)
    for variant, record in zip(plan.variants, plan.records, strict=True):
        if isinstance(record, Parameters):
            prove_variant(folder / toml_name(variant.number), record)
    return [
        file_entry(fresh, f"{VARIANTS}/{name}", "parameters" if name.endswith("toml") else "points")
        for name in files
    ]


def _variant_files(plan: SweepPlan, variant: Variant, p: Parameters) -> dict[str, bytes]:
    """Return a parameter file that stands by itself, and the aerofoil points that it names."""
    names = {name: flat_name(name, points) for name, points in p.aerofoils.items()}
    tables = _renamed(p.plain(), {k: f"file:{v}" for k, v in names.items()})
    varied = [
        f"# {v.key.name} = {x.shown}" for v, x in zip(plan.varies, variant.values, strict=True)
    ]
    head = [f"# Variant {variant.number} of a study of {p.name}. Varied:", *varied, "", ""]
    files = {toml_name(variant.number): ("\n".join(head) + toml_of(tables)).encode("utf-8")}
    for name, points in p.aerofoils.items():
        rows = "\n".join(f"{x!r} {y!r}" for x, y in points)
        files[names[name]] = f"{Path(names[name]).stem}\n{rows}\n".encode("ascii", "replace")
    return files


def _renamed(tables: Any, names: dict[str, str]) -> Any:
    if isinstance(tables, dict):
        return {key: _renamed(value, names) for key, value in tables.items()}
    if isinstance(tables, list | tuple):
        return [_renamed(value, names) for value in tables]
    return names.get(tables, tables) if isinstance(tables, str) else tables


def prove_variant(path: Path, meant: Parameters) -> None:
    """Load a variant's file again; it must describe the very same aircraft."""
    try:
        again = load(path)
    except GeomgenError as error:
        raise proof_failed(path, f"it does not load: {error}") from error
    names = {name: f"file:{flat_name(name, points)}" for name, points in meant.aerofoils.items()}
    aerofoils = {names[name]: points for name, points in meant.aerofoils.items()}
    # Through the same hands, so that lists and tuples don't differ.
    if _renamed(again.plain(), {}) != _renamed(meant.plain(), names):
        raise proof_failed(path, "it describes another aircraft")
    if again.aerofoils != aerofoils:
        raise proof_failed(path, "its aerofoils are others")


def _write_asked(
    fresh: Path, plan: SweepPlan, outcomes: Sequence[VariantOutcome], best: Best
) -> Entry:
    content = asked(plan, outcomes, best)
    data = json.dumps(content, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(fresh / ASKED, data.encode("ascii"))
    if json.loads((fresh / ASKED).read_bytes()) != content:
        raise proof_failed(fresh / ASKED, "it does not hold what was meant")
    return file_entry(fresh, ASKED, "what was asked")


def asked(plan: SweepPlan, outcomes: Sequence[VariantOutcome], best: Best) -> dict[str, Any]:
    """Return what was asked and what came of it, as plain values."""
    q, base = plan.question, plan.base
    keys = [
        {
            "key": vary.key.name,
            "what": vary.key.words,
            "asked": vary.asked,
            "unit": vary.key.unit,
            "values": [value.shown for value in vary.values] if q.samples is None else [],
        }
        for vary in plan.varies
    ]
    design = None if q.samples is None else design_of(q.samples)
    return {
        "name": base.name,
        "title": base.title,
        "revision": base.revision,
        "parameters_sha256": fingerprint(base),
        "file": Path(q.path).name,
        "set": list(q.overrides),
        "vary": keys,
        "samples": q.samples,
        "seed": None if q.samples is None else q.seed,
        "design": design,
        "variants": len(plan.variants),
        "counts": tally(outcomes),
        "all_exact": q.exact,
        "exact": sum(outcome.exact and outcome.status == "built" for outcome in outcomes),
        "best": {"senses": dict(best.senses), "variants": list(best.numbers)},
        "no_such_figure": list(best.absent),
        "axes": list(plan.axes),
        "made_with": dict(versions_used()),
        "cautions": list(CAUTIONS),
    }
