"""The builder's own prices of stock: an amount in his own words for money; nothing is assumed."""

from dataclasses import dataclass

from geomgen.length_words import in_mm_alone
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shops.product import Item, found
from geomgen.verdicts.check import Check


@dataclass(frozen=True)
class Price:
    """An amount of money of the builder's, a sheet or a metre of a stock."""

    amount: float
    money: str


def own_prices(p: Parameters) -> dict[str, Price]:
    """Return the builder's prices by stock, as the parts list has it."""
    found = {}
    for row in p.handoff.prices if p.handoff else ():
        amount, _, money = row.price.partition(" ")
        found[in_mm_alone(row.stock)] = Price(float(amount), money.strip())
    return found


def unused(p: Parameters, items: list[Item]) -> list[Check]:
    """Return a warning where a price is of a stock that nothing here is cut from."""
    prices = own_prices(p)
    bought = sorted({item.material for item in items if item.kind == "buy"})
    astray = [stock for stock in prices if stock not in bought]
    if not prices:
        return []
    return [
        found(
            "ply.prices", "frame", "prices of stock that nothing is cut from", float(len(astray)),
            "1", high=0.0, severity="warn", where=", ".join(astray), method="counted",
            source="handoff.prices",
            advice=f"stock is written as the parts list has it: {'; '.join(bought)}",
        )
    ]  # fmt: skip
