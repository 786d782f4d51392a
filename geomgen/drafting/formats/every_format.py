"""A drawing's files: DXF at full size, its sheet as PDF and as SVG; all written and proved."""

from pathlib import Path

from geomgen.drafting.formats.dxf.writing import prove_dxf, write_dxf
from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
from geomgen.drafting.formats.svg import write_svg
from geomgen.drafting.formats.svg_proof import prove_svg
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.files.manifest import Entry, file_entry


def write_drawing(folder: Path, sheet: Sheet, title: Title) -> list[Entry]:
    """Write `<name>_mm.dxf`, `<name>.pdf` and `<name>.svg`, prove all three, return their entries.

    Blanks of the drawing's name are underscores in the names of files.

    FileWriteError when one can't be written, does not prove right, or the sheet is too small.

    >>> import tempfile
    >>> from geomgen.drafting.record import Drawing, circle
    >>> disc = Sheet(Drawing("disc", (circle((0.0, 0.0), 500.0, "VISIBLE"),)), "A4", 20)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     rows = write_drawing(Path(folder), disc, Title("Demo", "disc", "A"))
    >>> [row["file"] for row in rows]
    ['disc_mm.dxf', 'disc.pdf', 'disc.svg']
    """
    drawing, over = sheet.drawing, float(sheet.over)
    name = "_".join(drawing.name.split())
    dxf = write_dxf(folder / f"{name}_mm.dxf", drawing, title, over)
    prove_dxf(dxf, drawing, title, over)
    page = write_sheet(folder / f"{name}.pdf", sheet, title)
    prove_sheet(page, sheet, title)
    picture = write_svg(folder / f"{name}.svg", sheet, title)
    prove_svg(picture, sheet, title)
    more = {"unit": "mm", "sheet": sheet.size, "scale": f"1:{sheet.over}"}
    return [
        {**file_entry(folder, dxf.name, "drawing"), "unit": "mm"},
        {**file_entry(folder, page.name, "sheet"), **more},
        {**file_entry(folder, picture.name, "picture"), **more},
    ]
