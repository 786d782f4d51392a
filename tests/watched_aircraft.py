"""A builder of milliseconds for the tests of the watch, and a file for it to watch.

It runs in a process of its own, so it is found by name. What it does is asked for in the file's
title: "hang" for a part that is never done, "die" for a crash, "part" for one that can't be built,
"undrawn" for a drawing that can't be made, "pressed" for pressures in the view, "litter" for
temporary files, also of a child, "early" for a view of a first shape that stands a while,
"bit-by-bit" for first answers that come one after the other.
"""

import json
import multiprocessing
import os
import signal
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from report_pages import page, pressed_scene

from geomgen.errors import GeometryError
from geomgen.pages.measured_scene import viewed
from geomgen.pages.scene import room, traces
from geomgen.processes.children import follow_parent
from geomgen.verdicts.check import Check, Limits
from geomgen.verdicts.first import FirstCheck
from geomgen.watching.live_page.state_results import (
    CaptionedDrawing,
    DrawnState,
    FirstJudged,
    Judged,
    Modelled,
)

CONFIGS = Path(__file__).parents[1] / "configs"
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 420 297" width="420mm" height="297mm">'
    "<title>two parts</title><style>svg:root{color:#000;background:#fff}</style>"
    '<g class="a-visible" fill="none" stroke="black">'
    '<path d="M20 20L220 20L220 170L20 170Z" data-name="pod"/>'
    '<path d="M300 40L400 40" data-name="wing_left"/>'
    '<path d="M20 280L400 280" data-name="thrust line"/></g></svg>'
)


def checks_of(p):
    """Return checks that follow from the wall and the scoops; closed forms of the parameters."""
    least = Limits("at least 4.00 mm", low=4.0)
    margin = p.pod.wall - 4.0
    verdict = "pass" if margin >= 0 else "fail"
    wall = Check(
        "pod.wall", "pod", "wall", p.pod.wall, "mm", least, "at least", margin, verdict, "by tape"
    )
    area = p.scoops[0].width * p.scoops[0].height
    mouth = Check(
        "inlet.area", "scoop", "mouth <b>area</b>", area, "mm2", Limits(""), "none", None, "pass"
    )
    return (wall, mouth, *(c for c in page().checks if c.id == "prop.radial_clearance"))


def model_text(pressed=False):
    """Return the view of the report tests' body, without loading the kernel."""
    scene = pressed_scene() if pressed else page().scene
    place = {"id": "prop.radial_clearance", "at": [1200.0, 0.0, 150.0], "reach": 500.0}
    place |= {"text": "clearance of the tips: 500.00 mm", "words": "PASS, at least 400.00 mm"}
    parts = [{"name": body.name, "faded": body.faded} for body in scene.bodies]
    whole = {"traces": traces(scene), "room": room(scene), "places": [place], "parts": parts}
    if pressed:
        whole["pressure"] = viewed(scene, (), {})["pressure"]
    return json.dumps(whole)


def built(p, out, say):
    """Yield the stages of a state in milliseconds."""
    say("wing")
    for word in p.title.split():
        if word == "die":
            os.kill(os.getpid(), signal.SIGKILL)
        elif word == "fault":
            raise ZeroDivisionError("by nought")
        elif word == "part":
            raise GeometryError("the walls meet", part="pod", step="wall", look_at=["pod.wall"])
        elif word == "litter":
            litter()
        elif word == "slow":
            for i in range(200):
                time.sleep(0.02)
                say(f"wing {i}")
        elif word == "hang":
            time.sleep(60.0)
    checks = checks_of(p)
    if "bit-by-bit" in p.title.split():
        for count in range(len(checks) + 1):
            known = tuple(FirstCheck(check, True) for check in checks[:count])
            told = (*known, *(FirstCheck(unmeasured(check), False) for check in checks[count:]))
            yield FirstJudged(told, 0.01, whole=count == len(checks))
            time.sleep(1.0)
    if "early" in p.title.split():
        yield Modelled(model_text(), first=True)
        time.sleep(1.5)
    yield Judged(checks, 0.01, 3, 5)
    say("3D view")
    yield Modelled(model_text("pressed" in p.title.split()))
    say("drawings")
    if "undrawn" in p.title.split():
        raise GeometryError("no line was found", step="three-view")
    yield DrawnState((CaptionedDrawing(f"Three-view, wall {p.pod.wall:g} mm", SVG),))


def unmeasured(check):
    """Return a check whose figure is not known yet."""
    return replace(check, measured=None, margin=None, verdict="not_measured")


def litter():
    """Leave temporary files, and a child that goes on leaving some."""
    Path(tempfile.mkdtemp(prefix="geomgen-"), "half").write_text("x")

    def go_on():
        follow_parent()
        while True:
            Path(tempfile.mkdtemp(prefix="geomgen-"), "half").write_text("x")
            time.sleep(0.01)

    multiprocessing.get_context("fork").Process(target=go_on, daemon=True).start()


def aircraft(folder, name="mine.toml"):
    """Put a parameter file, and what it needs, into a folder; return the file."""
    (folder / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    file = folder / name
    file.write_text((CONFIGS / "saltmarsh.toml").read_text("utf-8"), encoding="utf-8")
    return file


def edit(file, former, new):
    """Replace text in a file."""
    text = file.read_text("utf-8")
    assert former in text
    file.write_text(text.replace(former, new), encoding="utf-8")
