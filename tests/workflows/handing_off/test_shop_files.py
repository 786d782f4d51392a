"""What a shop's files carry along: the pieces are held against the builder's stock."""

from geomgen.kernel.plain import Model
from geomgen.parameters.records.shops import Stock
from geomgen.shops.product import Item, Package
from geomgen.workflows.handing_off import shop_files


def test_a_piece_too_large_for_the_router_reaches_the_findings(saltmarsh, tmp_path, monkeypatch):
    router = {"length": "1 m", "width": "600 mm", "height": "300 mm"}
    stock = Stock.model_validate({"router": router})
    p = saltmarsh.model_copy(
        update={"handoff": saltmarsh.handoff.model_copy(update={"stock": stock})}
    )
    plug = Item("plug", "pod", "", "plug block", (1250.0, 500.0, 200.0))
    package = Package("mould_maker", items=(plug,))
    monkeypatch.setattr(shop_files, "makers", lambda _: {"moulds": lambda *_: package})
    made = shop_files._made(tmp_path, p, Model(), "", "moulds")
    assert [(c.id, c.verdict, c.measured) for c in made.findings] == [
        ("stock.fit.router.mould_maker", "fail", 250.0)
    ]
