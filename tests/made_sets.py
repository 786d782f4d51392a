"""Small sets on the disk as a build or a hand-off leaves them, from plain bodies."""

from dataclasses import replace
from pathlib import Path

from geomgen.drafting.record import Drawing, rectangle
from geomgen.kernel.brep.primitives import box, cylinder, moved
from geomgen.kernel.model import Model
from geomgen.parameters import load
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.building.build import entries_of, write_texts, written_parts
from geomgen.workflows.handing_off.shop_files import _shop

CONFIG = Path(__file__).parents[1] / "configs" / "saltmarsh.toml"
GAP = Check(
    "prop.radial_clearance", "boom_right", "blade tips", 150.0, "mm",
    Limits("at least 25.00 mm", low=25.0), "at least", 125.0, "pass", error_bound=0.001,
)  # fmt: skip


def made_set(folder, overrides=(), shift=0.0, chord=400.0, gap=150.0, template=None, plug=None):
    """Write a set of a boom and a wing into `folder` and return it.

    `shift` moves the boom, `chord` makes the wing deeper, `gap` is the clearance [mm]; `template`
    is the width of a core template and `plug` the length of a plug, None for no hand-off.
    """
    folder.mkdir(parents=True)
    p = load(CONFIG, overrides)
    boom = cylinder((0.0, 780.0, 1280.0), (1.0, 0.0, 0.0), 45.0, 3200.0)
    solids = {
        "boom_right": moved(boom, (0.0, shift, 0.0)),
        "wing": box((1300.0, -2000.0, 1300.0), (1300.0 + chord, 2000.0, 1350.0)),
    }
    model = Model(parts=solids, families={"boom_right": "boom", "wing": "wing"})
    entries = entries_of(p, written_parts(folder, p, model, lambda _: None))
    for package in _packages(template, plug):
        entries += _shop(folder, p, package, "").entries
    verdict = "pass" if gap >= 25.0 else "fail"
    check = replace(GAP, measured=gap, margin=gap - 25.0, verdict=verdict)
    write_texts(folder, p, [check], entries, model)
    return folder


def _packages(template, plug):
    from geomgen.drafting.paper.full_size import full_size
    from geomgen.shops.product import Package, ShopSheet, ShopSolid

    if template is not None:
        drawing = Drawing("core_root", (rectangle((0.0, 0.0), (template, 60.0)),))
        sheet = ShopSheet("core_root", "wing", full_size(drawing), "left")
        yield Package("wing_cores", (), (sheet,))
    if plug is not None:
        solid = box((0.0, 0.0, 0.0), (plug, 80.0, 60.0))
        yield Package("mould_maker", (ShopSolid("wing_plug", "wing", solid),))
