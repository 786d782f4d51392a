"""A small made-up page for the tests."""

import base64
from dataclasses import replace

import numpy as np

from geomgen.pages.html_page import Picture, ReportPage, ShownDrawing
from geomgen.pages.measured_scene import CheckPlace
from geomgen.pages.parts_list import made_of
from geomgen.pages.scene import FilledOpening, PageScene, PressedBody, ScenePart, ShownDistance
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check, Limits

CORNERS = np.array([[0.0, 0, 0], [1000.0, 0, 0], [0, 800.0, 0], [0, 0, 600.0]])
SIDES = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
# The smallest PNG there is: one grey pixel.
PNG = base64.b64encode(
    bytes.fromhex(
        "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b55"
        "0000000a49444154789c636800000082008177cd72b60000000049454e44ae426082"
    )
).decode()


def checks():
    """Return one check of each outcome."""
    ends = ((1000.0, 0.0, 0.0), (1400.0, 0.0, 300.0))
    limits = Limits("at least 400.00 mm", low=400.0)
    gap = Check(
        "prop.radial_clearance",
        "boom",
        "tips to structure",
        500.0,
        "mm",
        limits,
        "at least",
        100.0,
        "pass",
        "closest points",
        0.1,
        "boom at STA 1000.0 BL 0.0 WL 0.0",
        ends,
        "a rule",
    )
    area = Limits("300.0 to 500.0 cm^2", 30000.0, 50000.0)
    return (
        gap,
        Check("exit.area", "exit", "open area", 400.0, "mm2", area, "between", -29600.0, "fail"),
        Check(
            "duct",
            "scoop",
            "turn",
            None,
            "deg",
            Limits("at most 1"),
            "at most",
            None,
            "not_measured",
            note="blocked by <pod> & firewall; without it the limit is 159.2 cm^2",
        ),
        replace(gap, id="tip", verdict="warn", points=()),
        Check(
            "tip_radius",
            "prop",
            "radius",
            650.0,
            "mm",
            Limits("no limit set"),
            "none",
            None,
            "pass",
        ),
    )


def page(**changes):
    """Return a page that holds something of everything."""
    ends = checks()[0].points
    hole = FilledOpening("exit.area", CORNERS[:3], SIDES[:1], (300.0, 200.0, 0.0), "4.0 cm^2")
    scene = PageScene(
        (
            ScenePart("pod", CORNERS, SIDES, (0.5, 0.25, 0.9)),
            ScenePart(
                "prop_disc", np.add(CORNERS, (900.0, 0.0, 0.0)), SIDES, (0.1, 0.6, 0.8), True
            ),
        ),
        (ShownDistance("prop.radial_clearance", ends, "500.00 mm"),),
        (hole,),
    )
    made = ReportPage(
        name="demo",
        title='Demo "one" <b>& only</b>',
        revision="A",
        checks=checks(),
        targets=(
            Target(
                "exit.area",
                "open area",
                "between",
                "mm2",
                30000.0,
                50000.0,
                "a b = c",
                (("power", "22 kW"),),
                (29000.0, 51000.0),
                "common practice",
            ),
        ),
        scene=scene,
        places={
            "prop.radial_clearance": CheckPlace((1200.0, 0.0, 150.0), 500.0),
            "exit.area": CheckPlace((300.0, 200.0, 0.0), 400.0),
        },
        shown_within="0.6 mm of the solids",
        pictures=(Picture(PNG, 1, 1, "a view", "a view of the demo"),),
        drawings=(
            ShownDrawing(
                '<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 9 9">'
                "<title>a square</title></svg>",
                "Three-view, scale 1:50 on A3",
                ("drawings/three_view.pdf",),
            ),
        ),
        parts=made_of(
            [("pod", "pod", "", "1", "glass & foam", *"123", "4.0", "0.100", "", "none", "")],
        ),
        cautions=("Caution one.", "Caution two.", "Caution three."),
        notices=("UNITS: 45 kt is not 45 ft/s, which asks for 164.0 cm^2",),
        fingerprint="0" * 64,
        versions=(("geomgen", "0.1"),),
        parameters='name = "demo" # <script>alert(1)</script>',
        files=(("pod_mm.step", "1" * 64),),
    )
    return replace(made, **changes)


def pressed_scene():
    """Return the page's scene with pressures of two states on its pod, a plate that faces ahead."""
    points = np.array([[0.0, y, z] for y in (0.0, 800.0) for z in (0.0, 800.0)])
    triangles = np.array([[0, 1, 3], [0, 3, 2]])
    kinds = np.zeros(2, dtype=np.int64)
    states = {"climb": np.full(2, 0.85), "glide": np.full(2, -0.55)}
    body = PressedBody("pod", ("pod",), points, triangles, kinds, states)
    return replace(page().scene, pressed=(body,), speeds=(("climb", 23.2), ("glide", 20.0)))
