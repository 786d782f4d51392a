"""The plain geometry of ribs, webs and joints that is published: sheets they are cut from."""

from geomgen.kernel.plain import FlatSheet
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.piece import left_of
from geomgen.shapes.wing_structure.inner_room import room_of
from geomgen.shapes.wing_structure.ribs import flat_piece, rib_pieces
from geomgen.shapes.wing_structure.webs import flat_webs, mirror_sheet
from geomgen.shapes.wing_structure.wing_joints import joint_sheets


def inner_sheets(p: Parameters) -> dict[str, FlatSheet]:
    """Return the sheets [mm] of ribs, webs and joints by name, both hands.

    A rib's front face is its inner one: it is drawn as seen from outboard, of a fin from above.
    """
    found: dict[str, FlatSheet] = {}
    for row in p.ribs:
        up = room_of(p, row.of).sections[0].up
        for piece in rib_pieces(p, row):
            flat = flat_piece(piece)
            sheet = FlatSheet(flat.plane, up, flat.thickness, flat.part)
            found[flat.part] = sheet
            if not piece.through:
                found[left_of(flat.part)] = mirror_sheet(sheet)
    return found | flat_webs(p) | joint_sheets(p)
