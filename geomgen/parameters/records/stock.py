"""Records of the stock that a builder has or buys, and what it costs him."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.materials import MATERIALS
from geomgen.parameters.values.quantities import Matching, OneOf, Record, Text, Within, stated

SIZE = Within("length", "50 mm", "20 m")


class StockBlock(Record):
    """A block, a machine's bed or a car's load space: what fits into it, turned as it may be."""

    length: Annotated[float, SIZE] = Field(description="its length, inside")
    width: Annotated[float, SIZE] = Field(description="its width, inside")
    height: Annotated[float, SIZE] = Field(description="its height, inside")


class StockSheet(Record):
    """A sheet of board."""

    length: Annotated[float, SIZE] = Field(description="its length")
    width: Annotated[float, SIZE] = Field(description="its width")


class SheetsBought(Record):
    """Sheets of a material as they are sold: parts of it are nested on these."""

    material: Annotated[str, OneOf(tuple(MATERIALS))] = Field(
        description="the material of the parts that are cut from them"
    )
    thickness: Annotated[float, Within("length", "0.2 mm", "50 mm")] | None = stated(
        None, "of this thickness alone; of every thickness when left out"
    )
    length: Annotated[float, SIZE] = Field(description="their length, along the grain if any")
    width: Annotated[float, SIZE] = Field(description="their width")
    allowance: Annotated[float, Within("fraction", "0", "1")] = stated(
        0.0, "sheets ordered beyond those nested, as a fraction, rounded up"
    )


class Stock(Record):
    """The stock and machines that the builder has; every piece is held against them."""

    router: StockBlock | None = stated(
        None,
        "room over the router's bed; moulds and plugs are cut to it, in length, breadth and height",
    )
    foam_block: StockBlock | None = stated(
        None, "block of foam; wing cores are cut along the span to it"
    )
    wire_bow: Annotated[float, SIZE] | None = stated(
        None, "longest cut of the hot wire's bow; wing cores are cut along the span to it"
    )
    board: StockSheet | None = stated(
        None, "sheet of board; flanges of moulds are cut along their length to it"
    )
    sheets: Annotated[tuple[SheetsBought, ...], Field(max_length=20)] = stated(
        (),
        "sheets of a material that come in another size than those of handoff.ply: steel, say; "
        "metal without a row here is ordered cut to size",
    )
    car: StockBlock | None = stated(None, "load space that pieces are brought home in")


class StockPrice(Record):
    """What a sheet or a metre of a stock costs the builder: his own figure, in his own money."""

    stock: Annotated[str, Text(80)] = Field(
        description="the stock as the parts list has it: birch plywood sheet, 3 mm; spruce strip, "
        "20 x 12 mm"
    )
    price: Annotated[
        str,
        Matching(
            "[0-9]{1,9}([.][0-9]{1,4})? [^ 0-9][^;]{0,19}",
            'a number with a point, a space, your money: "41.50 dollars"',
            "not a price",
        ),
    ] = Field(description="of one sheet or one metre: a number and what you call your money")
