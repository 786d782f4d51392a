"""Check every shape that `geomgen new` writes, one file after the other: run by hand, for hours.

    cd tests; PYTHONPATH=.. python -m starting.every_shape FOLDER [OPTION=VALUE ...]

Each line says a combination and the checks that do not pass. Options narrow the combinations down.
A folder that is there is gone on with: what was checked is not checked again.
"""

import sys
from pathlib import Path

from covering_choices import rows

from geomgen.starting.choices import choices_of
from geomgen.starting.fresh_text import fresh_text
from geomgen.workflows import check

SHAPE = ("gear", "wing", "tail", "scoops", "units")


def main(folder: Path, wanted: dict[str, str]) -> None:
    """Check all combinations that hold what is wanted; write what each said beside its file."""
    folder.mkdir(parents=True, exist_ok=True)
    for row in rows(SHAPE):
        name = "-".join(row.values()).replace(",", "_")
        told = folder / f"{name}.txt"
        if told.exists() or not wanted.items() <= row.items():
            continue
        file = folder / f"{name}.toml"
        file.write_text(fresh_text(choices_of(name[:40].rstrip("-_"), name, row)), "utf-8")
        checks = check(file, out=folder / "out").checks
        said = [f"{c.id} {c.verdict}: {c.note}" for c in checks if c.verdict != "pass"]
        told.write_text("\n".join(said) + "\n", "utf-8")
        sys.stdout.write(f"{name}: {'; '.join(said) or 'all pass'}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), dict(text.split("=", 1) for text in sys.argv[2:]))
