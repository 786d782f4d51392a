"""The pod's lines on built solids: a fair pod, and one with a bump of 0.5 mm at one station."""

import numpy as np
import pytest
import shapely

from geomgen.drafting.lettering import extent, width_of
from geomgen.drafting.paper.pens import PENS
from geomgen.drafting.paper.sheet import room
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import lay
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import exit_rim, hull, pod_body, pod_lines, round_stations
from geomgen.shops.fairness.findings import fairness_findings
from geomgen.shops.fairness.lines import breadth, buttock, crown_and_keel, outer_patches, waterline

EVERY = 50.0


def dense(p: Parameters, changed: dict[str, tuple[float, float]] | None = None) -> Parameters:
    """Return the parameters with a station every 50 mm on the same lines, some of them moved.

    `changed` names a field and the station at which it grows by so many millimetres.
    """
    lines = pod_lines(p).lines
    rows = list(p.pod.stations[:3])
    plain = p.pod.stations[-1]
    for x in np.arange(300.0, 2951.0, EVERY):
        v = lines.at_station(float(x))
        at = {name: float(curve(v)) for name, curve in lines.curves.items()}
        values = {
            "station": float(x),
            "crown": at["crown"],
            "keel": at["keel"],
            "breadth": 2 * at["half_breadth"],
            "breadth_height": at["breadth_height"],
            "fullness_upper": at["weight_upper"] / (1 + at["weight_upper"]),
            "fullness_lower": at["weight_lower"] / (1 + at["weight_lower"]),
        }
        for field, (station, by) in (changed or {}).items():
            if station == x:
                values[field] += by
        rows.append(plain.model_copy(update=values))
    pod = p.pod.model_copy(update={"stations": (*rows, plain)})
    return p.model_copy(update={"pod": pod})


def hollow(p: Parameters) -> Model:
    """Return hull and rim with their walls, an opening cut through the hull's right-hand side."""
    pod = pod_lines(p)
    rim, shell = exit_rim(p, pod), hull(p, pod).solid
    assert rim is not None
    opening = box((1500.0, 200.0, 740.0), (1620.0, 400.0, 830.0))
    return Model(parts={"pod": cut(shell, [opening], "pod", "opening"), "exit": rim.solid})


def model_of(p: Parameters) -> Model:
    """Return the pod as a full body: the same outer surface, quick to make."""
    return Model(parts={"pod": pod_body(pod_lines(p), 0.0)})


def warned(p: Parameters, model: Model | None = None) -> dict[str, str]:
    findings, _ = fairness_findings(p, model or model_of(p))
    assert len(findings) == 11
    return {f.id.removeprefix("fairness."): f.where for f in findings if f.verdict == "warn"}


def stations_in(where: str) -> list[float]:
    return [float(part.split(":")[0].removeprefix("STA ")) for part in where.split("; ")]


def test_the_example_is_fair(saltmarsh: Parameters) -> None:
    assert warned(saltmarsh, hollow(saltmarsh)) == {}


def test_many_stations_on_the_same_lines_are_fair(saltmarsh: Parameters) -> None:
    assert warned(dense(saltmarsh)) == {}


@pytest.mark.parametrize(
    ("field", "line", "by"),
    [("crown", "crown", 0.5), ("keel", "keel", 0.5), ("breadth", "breadth_plan", -1.0)],
)
def test_half_a_millimetre_at_one_station_is_found(
    saltmarsh: Parameters, field: str, line: str, by: float
) -> None:
    """A station 0.5 mm off, its neighbours 50 mm away: a bump about 100 mm wide."""
    found = warned(dense(saltmarsh, {field: (1450.0, by)}))
    assert line in found
    assert min(abs(x - 1450.0) for x in stations_in(found[line])) < 20.0
    assert all(abs(x - 1450.0) < 200.0 for where in found.values() for x in stations_in(where))


def test_the_model_is_measured_and_not_the_parameters(saltmarsh: Parameters) -> None:
    """A bumped solid under the fair parameters is found; the fair solid is not blamed."""
    bumped = dense(saltmarsh, {"crown": (1450.0, 0.5)})
    findings, sheets = fairness_findings(saltmarsh, model_of(bumped))
    crown = next(f for f in findings if f.id == "fairness.crown")
    assert crown.verdict == "warn"
    assert "bump" in crown.where
    words = [label.text for label in sheets[0].drawing.labels]
    assert any("crown line, STA 14" in text and "bump" in text for text in words)


def test_no_text_runs_into_text_or_out_of_the_sheet(saltmarsh: Parameters) -> None:
    p = dense(saltmarsh, {"crown": (1450.0, 0.5), "keel": (1300.0, -0.5), "breadth": (2000.0, 1.0)})
    _, sheets = fairness_findings(p, model_of(p))
    drawing = sheets[0].drawing
    paper = sheets[0].paper
    wide_enough, high_enough = room(paper.size)
    low, high = extent(drawing)
    assert high[0] - low[0] <= wide_enough * paper.over
    assert high[1] - low[1] <= high_enough * paper.over
    # It fills its page: at the next larger scale it would not fit.
    assert max(high[0] - low[0], 1.2 * (high[1] - low[1])) > 0.5 * wide_enough * paper.over
    # Solid lines only.
    assert all(not PENS[path.layer][1] for path in drawing.paths)
    boxes = []
    for label in drawing.labels:
        width = width_of(label.text, label.height)
        x = label.at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * width
        boxes.append(shapely.box(x, label.at[1], x + width, label.at[1] + label.height))
    for box_, label in zip(boxes, drawing.labels, strict=True):
        assert sum(box_.intersects(other) for other in boxes) == 1, label.text
        lines = [path for path in drawing.paths if len(path.points) > 1]
        for path in lines:
            assert not shapely.LineString(path.dense(1.0)).intersects(box_), label.text


def test_lines_of_a_body_of_revolution() -> None:
    """Radius 100 + 40 sin(x / 200) about WL 500: all lines have closed forms."""
    x = np.linspace(0.0, 600.0, 61)
    radius = 100 + 40 * np.sin(x / 200)
    solid = body(outer_skin(lay(round_stations(x, radius, 500.0))), "body")
    patches = outer_patches([solid])

    def exact(at: np.ndarray) -> np.ndarray:
        return 100 + 40 * np.sin(at / 200)

    crown, keel = crown_and_keel(patches)
    inner = slice(60, -60)
    assert (crown[:, 2] - 500)[inner] == pytest.approx(exact(crown[inner, 0]), abs=2e-3)
    assert (500 - keel[:, 2])[inner] == pytest.approx(exact(keel[inner, 0]), abs=2e-3)
    wide = breadth(patches)
    assert wide[inner, 1] == pytest.approx(exact(wide[inner, 0]), abs=2e-3)
    assert wide[inner, 2] == pytest.approx(500.0, abs=1e-6)
    water = waterline(patches, 560.0)[inner]
    assert water[:, 1] == pytest.approx(np.sqrt(exact(water[:, 0]) ** 2 - 60**2), abs=3e-3)
    for upper, way in ((True, 1), (False, -1)):
        run = buttock(patches, 70.0, upper)[inner]
        away = way * np.sqrt(exact(run[:, 0]) ** 2 - 70**2)
        assert run[:, 2] - 500 == pytest.approx(away, abs=3e-3)


def test_a_body_without_skin_is_refused(saltmarsh: Parameters) -> None:
    with pytest.raises(GeometryError, match="outer skin"):
        fairness_findings(saltmarsh, Model(parts={"pod": box((0, 0, 0), (9.0, 9.0, 9.0))}))


def test_stations_are_kept(saltmarsh: Parameters) -> None:
    """The helper itself: the dense stations lie on the example's lines."""
    a, b = pod_lines(saltmarsh).lines, pod_lines(dense(saltmarsh)).lines
    for x in (700.0, 1475.0, 2225.0):
        assert np.allclose(a.section(x), b.section(x), atol=0.05)
