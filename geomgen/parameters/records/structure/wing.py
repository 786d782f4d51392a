"""Records of the structure inside wing, tailplane and fins. Geometry, nothing of strength."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.place_values import Station
from geomgen.parameters.values.quantities import (
    Count,
    Matching,
    OneOf,
    Record,
    Within,
    YesNo,
    stated,
)

NAME = Matching("[a-z0-9][a-z0-9_-]{0,29}", "1 to 30 lower-case letters, digits, - and _")
HOSTS = ("wing", "tailplane", "fin")
BOX, CHANNEL, CAPS, TUBE = "box", "C", "caps and web", "tube"
KINDS = (BOX, CHANNEL, CAPS, TUBE)
FORE, AFT, BOTH = "fore", "aft", "both"
SIDES = (FORE, AFT)
FACES = (FORE, AFT, BOTH)
ALL, NOSE, TAIL = "all", "nose", "tail"
# What plates and pins of a joint may be of.
PINS = ("steel", "stainless steel", "titanium", "aluminium alloy")
PLATES = (*PINS, "carbon laminate", "glass laminate")
# Along the span: a buttock line; of a fin a height over fins.waterline.
Along = Within("length", "-3 m", "10 m")
ALONG = "buttock line (BL); of a fin the height above fins.waterline"
Skin = Within("length", "0 mm", "20 mm")
Size = Within("length", "3 mm", "1 m")
Cap = Within("length", "0.5 mm", "100 mm")
Sheet = Within("length", "0.3 mm", "60 mm")
Chordwise = Within("fraction", "0.02", "0.95")


class SparStation(Record):
    """Width and cap height of a spar at one place along the span; straight from one to the next."""

    at: Annotated[float, Along] = Field(description=f"place along the span: {ALONG}")
    width: Annotated[float, Size] = Field(description="width of the spar there, fore and aft")
    cap_height: Annotated[float, Cap] = Field(description="height of each cap there")


class WingJoint(Record):
    """Where the outer wing comes off: plates on both halves of a spar that lap, pins through them.

    Plates lie on the web in layers, by turns one of the inner and one of the outer half; where one
    ends, a packing of its thickness goes on over the web of the other half.
    """

    at: Annotated[float, Along] = Field(
        description=f"place along the span where the outer part comes off: {ALONG}"
    )
    gap: Annotated[float, Within("length", "0.2 mm", "50 mm")] = stated(
        "1 mm", "gap there between the halves of the spar and between the two ribs beside it"
    )
    skin_gap: Annotated[float, Within("length", "0.2 mm", "50 mm")] | None = stated(
        None, "gap there between the inner and the outer part of the skin; gap's when left out"
    )
    side: Annotated[str, OneOf(FACES)] = stated(
        "fore", "face of the web, of a box of its webs' outsides, that the plates lie on: fore, "
        "aft, or both with pins through all"
    )  # fmt: skip
    layers: Annotated[int, Count(2, 6)] = stated(
        2, "how many plates lie on each other on a face, by turns of the inner and the outer half"
    )
    plate_thickness: Annotated[float, Within("length", "0.5 mm", "30 mm")] = Field(
        description="thickness of each plate and packing"
    )
    plate_depth: Annotated[float, Within("length", "5 mm", "500 mm")] = Field(
        description="depth of the plates, up and down"
    )
    plate_length: Annotated[float, Within("length", "10 mm", "2 m")] = Field(
        description="how far a plate runs along its own half, from the joint"
    )
    overlap: Annotated[float, Within("length", "5 mm", "1 m")] = Field(
        description="how far it reaches past the joint onto the other half"
    )
    plate_gap: Annotated[float, Within("length", "0 mm", "1 mm")] = stated(
        "0.2 mm", "gap under each plate, for bond or for sliding"
    )
    pin_diameter: Annotated[float, Within("length", "2 mm", "50 mm")] = Field(
        description="diameter of the pins, which stand square to the plates"
    )
    pin_clearance: Annotated[float, Within("length", "0.01 mm", "2 mm")] = stated(
        "0.05 mm", "how much wider their holes are"
    )
    pin_rows: Annotated[int, Count(1, 4)] = stated(2, "how many pins stand over each other")
    pin_pitch: Annotated[float, Within("length", "3 mm", "500 mm")] | None = stated(
        None, "from the middle of one pin to the next, up and down"
    )
    pin_columns: Annotated[int, Count(1, 6)] = stated(
        2, "how many pins stand beside each other along the span"
    )
    pin_pitch_along: Annotated[float, Within("length", "3 mm", "1 m")] | None = stated(
        None, "from the middle of one pin to the next, along the span"
    )
    pins_off: Annotated[float, Within("length", "-1 m", "1 m")] = stated(
        "0 mm", "how far the middle of all pins stands outward of the joint"
    )
    pin_ends: Annotated[float, Within("length", "0 mm", "100 mm")] = stated(
        "6 mm", "how far a pin stands out at each end, for ring, nut or safety pin"
    )
    socket_diameter: Annotated[float, Within("length", "3 mm", "100 mm")] | None = stated(
        None, "outside diameter of the socket for the nuts on the pins, or of what else is to go "
        "over them; 2 times pin_diameter when left out (own choice)"
    )  # fmt: skip
    socket_length: Annotated[float, Within("length", "5 mm", "300 mm")] = stated(
        "60 mm", "room along the pin, from its end on, that the socket is put on in"
    )
    nut_hole: Annotated[float, Within("length", "3 mm", "300 mm")] | None = stated(
        None, "diameter of a hole in the other web of a box, in line with each pin, for the nut; "
        "none when left out"
    )  # fmt: skip
    access_hole: Annotated[float, Within("length", "3 mm", "300 mm")] | None = stated(
        None, "diameter of an opening through the skin, in line with each pin, that it is drawn "
        "through; none when left out"
    )  # fmt: skip
    access_side: Annotated[str, OneOf(SIDES)] = stated(
        "fore", "where those openings are: fore or aft of the pins"
    )
    material: Annotated[str, OneOf(PLATES)] = stated(
        "steel", "what plates and packings are of; its usual density, or [[mass]], gives their mass"
    )
    pin_material: Annotated[str, OneOf(PINS)] = stated("steel", "what the pins are of")


class Spar(Record):
    """One spar: upright, as deep as the aerofoil less the skin; right-hand, the left its mirror."""

    name: Annotated[str, NAME] = Field(description="short name; it becomes part of file names")
    of: Annotated[str, OneOf(HOSTS)] = stated("wing", "what it stands in: wing, tailplane or fin")
    kind: Annotated[str, OneOf(KINDS)] = Field(
        description="box (two caps between two webs), C (two caps behind one web), caps and web "
        "(a web between the caps, at their middle), or tube (round)"
    )
    chord_share: Annotated[float, Chordwise] | None = stated(
        None, "share of the chord at which its middle stands, at every section"
    )
    station_start: Annotated[float, Station] | None = stated(
        None, "station (STA) of its middle at its inner end, for a spar that is straight from "
        "there to station_end; chord_share is left out then"
    )  # fmt: skip
    station_end: Annotated[float, Station] | None = stated(
        None, "station (STA) of its middle at its outer end"
    )
    start: Annotated[float, Along] = stated(
        "0 mm", f"where it begins, {ALONG}; at BL 0 it goes through to the other side in one piece"
    )
    end: Annotated[float, Along] | None = stated(
        None, f"where it ends, {ALONG}; left out: the skin's thickness short of the tip"
    )
    skin: Annotated[float, Skin] = Field(
        description="thickness of the skin that it stands under, square to the surface"
    )
    width: Annotated[float, Size] | None = stated(
        None, "width of the spar, fore and aft, webs counted; of a tube its diameter outside"
    )
    cap_height: Annotated[float, Cap] | None = stated(None, "height of each cap; not of a tube")
    stations: Annotated[tuple[SparStation, ...], Field(max_length=20)] = stated(
        (), "width and cap height by places along the span, where they taper"
    )
    web: Annotated[float, Sheet] = Field(
        description="thickness of the web, of a box of each; of a tube its wall"
    )
    web_side: Annotated[str, OneOf(SIDES)] = stated("fore", "of a C: the side of its web")
    wing_joint: WingJoint | None = stated(
        None, "where the outer wing comes off: pin plates on this spar; geometry, not strength"
    )


def pieces_of(spar: Spar) -> tuple[str, ...]:
    """Return what the pieces of a spar are called."""
    if spar.kind == TUBE:
        return ("tube",)
    webs = {BOX: ("web_fore", "web_aft"), CAPS: ("web",)}.get(spar.kind, (f"web_{spar.web_side}",))
    return ("cap_upper", "cap_lower", *webs)


def wing_joint_names(spar: Spar) -> tuple[str, str]:
    """Return what the names of a joint's plates and of its pins begin with."""
    return f"joint_plate_{spar.name}", f"joint_pin_{spar.name}"


def skin_gap_of(joint: WingJoint) -> float:
    """Return the gap [mm] between the two parts of the skin at a joint."""
    return joint.gap if joint.skin_gap is None else joint.skin_gap


def socket_of(joint: WingJoint) -> float:
    """Return the diameter [mm] of the socket for the nuts on a joint's pins."""
    return 2 * joint.pin_diameter if joint.socket_diameter is None else joint.socket_diameter


class RibRow(Record):
    """Ribs of one kind, square to the centre plane (of a fin: level), as the aerofoils stand."""

    name: Annotated[str, NAME] = Field(description="short name; it becomes part of file names")
    of: Annotated[str, OneOf(HOSTS)] = stated("wing", "what they stand in: wing, tailplane or fin")
    at: tuple[Annotated[float, Along], ...] = stated((), f"places of their middles: {ALONG}")
    pitch: Annotated[float, Within("length", "20 mm", "3 m")] | None = stated(
        None, "largest distance from one to the next, evenly from start to end"
    )
    start: Annotated[float, Along] | None = stated(None, "place of the first one of a pitch")
    end: Annotated[float, Along] | None = stated(None, "place of the last one of a pitch")
    beside_boom: Annotated[bool, YesNo()] = stated(
        False, "of wing and tailplane: one close beside the boom, on its inner side and, inside "
        "the wing, on its outer side; it stands for one of a pitch that would run into it"
    )  # fmt: skip
    boom_gap: Annotated[float, Within("length", "0 mm", "200 mm")] = stated(
        "5 mm", "from those to the boom where it is broadest"
    )
    beside_joint: Annotated[bool, YesNo()] = stated(
        False, "one on each side of where the outer wing comes off (spars.wing_joint), half its "
        "gap away; it stands for one of a pitch that would run into it"
    )  # fmt: skip
    thickness: Annotated[float, Sheet] = Field(description="thickness of the sheet or foam")
    skin: Annotated[float, Skin] = Field(
        description="thickness of the skin that they stand under, square to the surface"
    )
    notch_gap: Annotated[float, Within("length", "0 mm", "10 mm")] = stated(
        "0.3 mm", "gap of the notches round a spar, all round"
    )
    pieces: Annotated[str, OneOf((ALL, NOSE, TAIL))] = stated(
        "all", "all, or only what stands ahead of the first spar (nose, as false ribs), or behind "
        "the last (tail)"
    )  # fmt: skip
    hole_web: Annotated[float, Within("length", "3 mm", "500 mm")] | None = stated(
        None, "least web left round each lightening hole; no holes when left out"
    )
    least_hole: Annotated[float, Within("length", "5 mm", "1 m")] = stated(
        "30 mm", "diameter of the smallest hole worth cutting"
    )
    least_depth: Annotated[float, Within("length", "2 mm", "200 mm")] = stated(
        "8 mm", "where the tail gets thinner than this it ends"
    )
