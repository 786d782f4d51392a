"""The question about the firewall: all of it is measured in one go."""

from collections.abc import Iterator
from dataclasses import replace

from geomgen.kernel.plain import Model
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.firewall.sheet import HULL, firewall
from geomgen.measurements.question import Answer, Given, Question
from geomgen.measurements.subject import Boxes, Subject


def _question(model: Model, boxes: Boxes) -> Iterator[Question]:
    if "firewall" not in boxes:
        return
    own = {n: model.families[n] for n in boxes if model.families.get(n) in (*HULL, "firewall")}
    only = replace(model, parts={}, families=own)

    def ask(given: Given) -> Answer:
        parts = {name: body.solid for name, body in given.bodies.items()}
        return rows(lambda: firewall(replace(only, parts=parts), given.bodies))

    plain = (model.firewall_plane, model.firewall_seed, own, model.fittings, model.passages)
    yield Question("firewall", ask, bodies=tuple(own), plain=plain)


FIREWALL = Subject(
    _question, lambda by: joined_rows("firewall.area", "mm2", by.answers.get("firewall"))
)
