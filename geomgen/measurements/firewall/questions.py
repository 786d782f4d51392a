"""The question about the firewall: all of it is measured in one go."""

from collections.abc import Iterator
from dataclasses import replace

from geomgen.kernel.brep.boxes import boxes_meet
from geomgen.kernel.model import Model
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.firewall.sheet import ACROSS, HULL, firewall
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.subject import Boxes, Subject


def _question(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    if "firewall" not in boxes:
        return
    own = {n: model.families[n] for n in boxes if model.families.get(n) in (*HULL, "firewall")}
    only = replace(model, parts={}, families=own)
    wall = boxes["firewall"]
    others = [n for n in boxes if model.families.get(n) in ACROSS and boxes_meet(boxes[n], wall)]

    def ask(given: Given) -> Answer:
        parts = {name: given.bodies[name].shape for name in own}
        across = {name: given.bodies[name] for name in others}
        return rows(lambda: firewall(replace(only, parts=parts), given.bodies, across))

    plain = (model.firewall_plane, model.firewall_seed, own, model.fittings, model.passages)
    yield MeasurementQuestion("firewall", ask, bodies=(*own, *others), plain=plain)


FIREWALL = Subject(
    _question, lambda by: joined_rows("firewall.area", "mm2", by.answers.get("firewall"))
)
