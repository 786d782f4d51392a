"""Random parameters either build to valid, closed, checked solids or end in a clear error.

Never a traceback, a hang or a wrong solid; at least 95 % build. The files come from
`strategies.py`; each is tried in a process of its own with a time limit.
"""

import signal
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from strategies import parameter_texts

from geomgen.errors import GeomgenError
from geomgen.kernel.crew import answers

LIMIT = 240
BUILT = "built"
# Parts that the short run also meshes; the long one meshes and measures all.
MESHED = ("scoop_cheek_right", "firewall")


def texts(count: int) -> dict[str, str]:
    """Return random parameter files, the same ones each time."""
    found: list[str] = []

    @settings(
        max_examples=count,
        deadline=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    @given(parameter_texts())
    def collect(text: str) -> None:
        found.append(text)

    collect()
    return {str(number): text for number, text in enumerate(found)}


def tried(text: str, checked: bool) -> str:
    """Build one file and look at every solid; return what came of it."""
    from geomgen.kernel.meshing import is_closed, meshed
    from geomgen.kernel.validity import validity
    from geomgen.measurements.survey import survey
    from geomgen.parameters import load
    from geomgen.pipeline import assemble

    def late(*_: object) -> None:
        raise TimeoutError(f"no answer in {LIMIT} s")

    signal.signal(signal.SIGALRM, late)
    signal.alarm(LIMIT)
    try:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "random.toml"
            file.write_text(text, encoding="utf-8")
            model = assemble(load(file))
        meshes = {}
        for name, solid in model.parts.items():
            problems = validity(solid).problems
            if problems:
                return f"wrong solid: {name}: {problems}"
            if not checked and name not in MESHED:
                continue
            made = meshed(solid, 0.5, part=name)
            if not is_closed(made.mesh) or made.mesh.volume <= 0:
                return f"wrong mesh: {name}"
            meshes[name] = (made.mesh, made.deviation)
        if checked:
            found = {m.id: m for m in survey(model, meshes)}
            if found["inlet.area"].broken or found["inlet.area"].value is None:
                return f"wrong solid: inlet {found['inlet.area'].note}"
            if (found["parts.interference"].value or 0.0) < -1.0:
                return f"wrong solid: {found['parts.interference'].note}"
        return BUILT
    except GeomgenError as error:
        named = getattr(error, "look_at", None) or getattr(error, "key", None)
        return f"refused: {error}" if named else f"unclear, names no parameter: {error!r}"
    except Exception as error:  # noqa: BLE001 - the very thing that must not happen is told apart
        return f"fault: {type(error).__name__}: {error}"
    finally:
        signal.alarm(0)


def share(count: int, checked: bool) -> None:
    files = texts(count)
    came = dict(answers(lambda number: tried(files[number], checked), list(files)))
    wrong = {n: what for n, what in came.items() if what.split(":")[0] not in (BUILT, "refused")}
    built = sum(what == BUILT for what in came.values())
    refused = sorted({what for what in came.values() if what != BUILT})
    print(f"{built} of {len(came)} random aircraft build; refused: {refused}")
    assert wrong == {}
    assert len(came) >= 0.9 * count
    assert built >= 0.95 * len(came) or len(came) - built <= 1, refused


def test_five_random_aircraft() -> None:
    share(5, checked=False)


@pytest.mark.long
def test_two_hundred_random_aircraft() -> None:
    share(200, checked=True)
