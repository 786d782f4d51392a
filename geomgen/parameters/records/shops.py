"""Records of what the shops are asked for: laminate, moulds, foam, cores, sheet, paper."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.conditions import OWN, default
from geomgen.parameters.records.stock import Stock, StockPrice
from geomgen.parameters.values.place_values import ButtockLine, Station
from geomgen.parameters.values.quantities import (
    Count,
    Matching,
    OneOf,
    Record,
    SourcedLimit,
    Text,
    Threshold,
    Within,
    YesNo,
    stated,
    worked_out,
)

TREATMENTS = ("plug_outside", "core_minus_skin", "male_mould")
# Folders that hold sheets at full size.
SHOPS = ("foam_stations", "wing_cores", "sheet_shop", "ply_shop")
ANY_GRAIN, DIAGONAL = "any", "45 deg"
GRAINS = ("up", "across", ANY_GRAIN, DIAGONAL)
# How the lines to build to come with a mould.
DRAWN, DRILLED, GROOVES, RAISED = "drawing", "drill points", "grooves", "raised lines"
IN_MM, IN_BOTH = "mm", "in / mm"
LINES = (DRAWN, DRILLED, GROOVES, RAISED)
KEEL_DOWN, CROWN_DOWN = "keel down", "crown down"
JIG_WAYS = (KEEL_DOWN, CROWN_DOWN)
SPLITS = ("centre plane", "maximum breadth")
TABS, ANGLE_RING, JOGGLED = "tabs", "angle ring", "joggled segments"
FLANGES = (TABS, ANGLE_RING, JOGGLED)
PART = Matching("[a-z0-9_-]{1,60}", "the name of a part as in the set, without _left or _right")
Density = Within("density", "5 kg/m^3", "25000 kg/m^3")


class Ply(Record):
    """One kind of cloth in the laminate."""

    cloth: Annotated[str, Text(60)] = Field(description="what the cloth is, for the ply schedule")
    areal_weight: Annotated[float, Within("areal weight", "10 g/m^2", "2500 g/m^2")] = Field(
        description="areal weight of the dry cloth"
    )
    fibre_volume_fraction: Annotated[float, Within("fraction", "0.15", "0.75")] = Field(
        description="fibre volume as a fraction of the cured laminate; "
        "hand lay-up reaches 0.30 to 0.40"
    )
    fibre_angle: Annotated[float, Within("angle", "-90 deg", "90 deg")] = stated(
        "0 deg",
        "direction of the fibre, a woven cloth's warp, from the part's own axis: the span for the "
        "wing, fore and aft for all else; plus is counter-clockwise as seen from outside on the "
        "right-hand side, mirrored on the left",
    )
    count: Annotated[int, Count(1, 60)] = stated(1, "how many of these plies")


class Laminate(Record):
    """The skin that is laid over a core or into a mould; its thickness follows from the plies."""

    fibre_density: Annotated[float, Density] = stated("2560 kg/m^3", "density of the fibre")
    resin_density: Annotated[float, Density] = stated("1150 kg/m^3", "density of the cured resin")
    plies: Annotated[tuple[Ply, ...], Field(min_length=1, max_length=20)] = Field(
        description="the plies from the outside in"
    )


class Mould(Record):
    """One part that is moulded, and what its mould is to be."""

    part: Annotated[str, PART] = Field(
        description="the part: pod, exit, tail_fairing, scoop_<name>, or wing_tip"
    )
    treatment: Annotated[str, OneOf(TREATMENTS)] = Field(
        description="plug_outside (for a female mould, outside size), core_minus_skin (the core "
        "stays inside, smaller by the skin) or male_mould (the skin's inner face); no default: "
        "the wrong one ruins the part"
    )
    split: Annotated[str, OneOf(SPLITS)] = stated(
        "centre plane", "where the halves part: centre plane (left and right) or maximum breadth"
    )
    draft: Annotated[Threshold, SourcedLimit("angle", "0 deg", "30 deg")] = stated(
        default("3 deg"), "least draft wanted to the pull direction"
    )
    flange: Annotated[float, Within("length", "5 mm", "300 mm")] = stated(
        "60 mm", "width of the flange round the split"
    )
    flange_thickness: Annotated[float, Within("length", "2 mm", "100 mm")] = stated(
        "12 mm", "thickness of the flange"
    )
    stock: Annotated[float, Within("length", "0 mm", "20 mm")] = stated(
        "0 mm", "material left on for machining, outside the wanted surface"
    )
    dowel_diameter: Annotated[float, Within("length", "2 mm", "40 mm")] = stated(
        "8 mm", "diameter of the registration dowels in the flange"
    )
    dowel_pitch: Annotated[float, Within("length", "40 mm", "2 m")] = stated(
        "300 mm", "distance of the dowels along the flange, at most"
    )
    machine_length: Annotated[float, Within("length", "100 mm", "10 m")] | None = stated(
        None,
        "longest piece that the router takes, fore and aft; when left out as handoff.stock has it",
    )
    trim_allowance: Annotated[float, Within("length", "0 mm", "300 mm")] = stated(
        "0 mm",
        "how far the mould goes on along the loft beyond the part's own ends, to be trimmed to the "
        "line: the pod's rim ahead of an exit, the exit's fore end, the inboard end of a wing tip",
    )
    lines: Annotated[str, OneOf(LINES)] = stated(
        DRAWN,
        "lines to build to on its surface: drawing (sheets of each half), and in the pieces, too: "
        "drill points (small holes along them), grooves (cut into it: raised on what is taken off "
        "it) or raised lines (stand on it: grooves in what is taken off it); not with stock on",
    )
    line_pitch: Annotated[float, Within("length", "10 mm", "1 m")] = stated(
        "100 mm", "distance of the drill points along a line, at most"
    )
    line_hole: Annotated[float, Within("length", "1 mm", "6 mm")] = stated(
        "2 mm", "diameter of a drill point, and its depth"
    )
    line_depth: Annotated[float, Within("length", "0.1 mm", "3 mm")] = stated(
        "0.3 mm", "how deep a groove is, or how high a raised line; less than the skin's thickness"
    )
    line_width: Annotated[float, Within("length", "0.2 mm", "10 mm")] = stated(
        "0.6 mm", "width of a groove, or of a raised line, at the surface; it is a V"
    )
    from_buttock_line: Annotated[float, ButtockLine] | None = stated(
        None, "only for wing_tip: the buttock line (BL) from which on the tip is a part"
    )


class FoamStations(Record):
    """The pod as a stack of foam slabs across the body, a template on each face."""

    slab: Annotated[float, Within("length", "5 mm", "600 mm")] = stated(
        "50 mm", "thickness of a foam slab"
    )
    template_thickness: Annotated[float, Within("length", "0 mm", "30 mm")] = stated(
        "0 mm", "thickness of a template that stays between the slabs"
    )
    inset_skin: Annotated[bool, YesNo()] = stated(
        True, "whether the outlines are smaller by the laminate's thickness"
    )
    split_at_centre: Annotated[bool, YesNo()] = stated(
        True, "whether each slab is cut in two at the centre plane"
    )
    start: Annotated[float, Station] | None = stated(
        None, "first station (STA) of the stack; the nose when left out"
    )
    end: Annotated[float, Station] | None = stated(
        None, "last station (STA) of the stack; the aft end of the hull when left out"
    )
    density: Annotated[float, Density] = stated("32 kg/m^3", "density of the foam")
    sheet_length: Annotated[float, Within("length", "100 mm", "5 m")] = stated(
        "1250 mm", "length of the foam sheets"
    )
    sheet_width: Annotated[float, Within("length", "100 mm", "3 m")] = stated(
        "600 mm", "width of the foam sheets"
    )
    margin: Annotated[float, Within("length", "0 mm", "200 mm")] = stated(
        "10 mm", "foam left round each blank, and between two of them"
    )
    hole_diameter: Annotated[float, Within("length", "1 mm", "60 mm")] = stated(
        "8 mm", "diameter of the alignment holes"
    )


class SparCap(Record):
    """A trough for a spar cap, cut as a second pass."""

    at: Annotated[float, Within("fraction", "0.05", "0.85")] = Field(
        description="middle of the trough as a share of the chord"
    )
    width: Annotated[float, Within("length", "3 mm", "400 mm")] = Field(
        description="width of the trough along the chord"
    )
    depth: Annotated[float, Within("length", "0.3 mm", "60 mm")] = Field(
        description="depth of the trough below the core's surface"
    )
    side: Annotated[str, OneOf(("upper", "lower"))] = Field(description="upper or lower side")


class Cores(Record):
    """Hot-wire cores of the wing, one a panel."""

    kerf: Annotated[float, Within("length", "0 mm", "4 mm")] = Field(
        description="width that the wire melts, measured on scrap; half goes to each side"
    )
    inset_skin: Annotated[bool, YesNo()] = stated(
        True, "whether the cores are smaller by the laminate's thickness"
    )
    ticks: Annotated[int, Count(6, 200)] = stated(24, "numbered ticks on each side of a template")
    lead: Annotated[float, Within("fraction", "0.01", "0.5")] = stated(
        0.06, "length of run-in and run-out, as a share of the chord"
    )
    density: Annotated[float, Density] = stated("32 kg/m^3", "density of the foam")
    bow: Annotated[float, Within("length", "150 mm", "10 m")] | None = stated(
        None,
        "longest block that bow and foam allow; a longer panel is cut in several cores with "
        "templates in between, and whole when left out, unless handoff.stock has less",
    )
    surface_tolerance: Annotated[Threshold, SourcedLimit("length", "0.05 mm", "10 mm")] = stated(
        default("0.5 mm", OWN),
        "how far the core may be off the wing less its skin; a straight wire cuts corners where "
        "the section changes along the panel",
    )
    caps: Annotated[tuple[SparCap, ...], Field(max_length=8)] = stated((), "spar cap troughs")
    spar_slots: Annotated[bool, YesNo()] = stated(
        False, "whether cores are cut through at the webs of spars: a nose and a tail piece"
    )


class SheetShop(Record):
    """How the sheet of the firewall is bent."""

    inside_radius: Annotated[float, Within("length", "0 mm", "30 mm")] = stated(
        "1 mm", "inside radius of the bend"
    )
    k_factor: Annotated[float, Within("fraction", "0.2", "0.6")] = stated(
        0.4, "where the neutral line lies in the sheet, from the inside of the bend"
    )
    relief_width: Annotated[float, Within("length", "0.5 mm", "30 mm")] = stated(
        "3 mm", "width of a relief cut where the outline curves"
    )
    relief_pitch: Annotated[float, Within("length", "8 mm", "500 mm")] = stated(
        "60 mm", "distance of the relief cuts along the bend, at most"
    )
    sealant_gap: Annotated[float, Within("length", "0.2 mm", "10 mm")] = stated(
        "3 mm", "widest gap between flange and skin that the sealant fills, slits aside"
    )
    bend_angles: Annotated[int, Count(1, 12)] = stated(
        4, "different bend angles of the flange at most; the fewest that keep sealant_gap are taken"
    )
    bend_tolerance: Annotated[float, Within("angle", "0 deg", "5 deg")] = stated(
        "0.5 deg", "how much further a tab may be bent than drawn; less is not allowed"
    )
    cut_tolerance: Annotated[float, Within("length", "0.02 mm", "2 mm")] = stated(
        "0.2 mm", "by how much edges and holes of the blank may be off"
    )
    flange: Annotated[str, OneOf(FLANGES)] = stated(
        TABS,
        "how the flange is made: tabs (bent from the sheet itself), angle ring (segments of angle, "
        "butted and riveted to a flat sheet) or joggled segments (each lapped over the next one)",
    )
    ring_width: Annotated[float, Within("length", "8 mm", "150 mm")] | None = stated(
        None,
        "width of the ring's leg on the sheet, from the flange inward; left out, 20 mm, or what "
        "its bend, relief cuts and rivets need where that is more",
    )
    ring_segments: Annotated[int, Count(2, 24)] = stated(6, "how many segments the ring has")
    rivet_diameter: Annotated[float, Within("length", "1.6 mm", "8 mm")] = stated(
        "3.2 mm", "diameter of the rivets between ring and sheet"
    )
    rivet_pitch: Annotated[float, Within("length", "5 mm", "150 mm")] = stated(
        "25 mm", "distance of the rivets along the ring, at most; 3 diameters at least"
    )
    lap: Annotated[float, Within("length", "6 mm", "200 mm")] = stated(
        "25 mm", "how far a joggled segment lies over the next one; 4 rivet diameters at least"
    )


class Jig(Record):
    """The level board that frames are set up on, and how they stand on it."""

    way: Annotated[str, OneOf(JIG_WAYS)] = stated(
        KEEL_DOWN, "how the pod stands in it: keel down, or crown down"
    )
    clearance: Annotated[float, Within("length", "0 mm", "2 m")] = stated(
        "150 mm", "from the board's top to the nearest edge of any frame"
    )
    leg_spacing: Annotated[float, Within("length", "20 mm", "3 m")] | None = stated(
        None,
        "distance of the two legs that hold a frame, middle to middle; one on the centre line "
        "where a frame is too narrow; no legs when left out",
    )
    leg_width: Annotated[float, Within("length", "5 mm", "300 mm")] = stated(
        "40 mm", "width of a leg"
    )


class PlyShop(Record):
    """The sheets that frames, ribs and webs are cut from, and how the parts lie on them."""

    sheet_length: Annotated[float, Within("length", "100 mm", "5 m")] = stated(
        "2440 mm", "length of the sheets, along the grain of their faces"
    )
    sheet_width: Annotated[float, Within("length", "100 mm", "3 m")] = stated(
        "1220 mm", "width of the sheets"
    )
    gap: Annotated[float, Within("length", "1 mm", "100 mm")] = stated(
        "10 mm", "left between two parts, the cutter's kerf in it, and to the sheet's edges"
    )
    grain: Annotated[str, OneOf(GRAINS)] = stated(
        "across",
        "how the grain of the faces lies on a part: up, across, 45 deg (rising to the right on the "
        "drawing, of a left part to the left), or any, turned as it fits",
    )
    grain_frames: Annotated[str, OneOf(GRAINS)] | None = stated(
        None, "the same for frames; when left out as grain"
    )
    grain_ribs: Annotated[str, OneOf(GRAINS)] | None = stated(
        None, "the same for ribs; when left out as grain"
    )
    grain_webs: Annotated[str, OneOf(GRAINS)] | None = stated(
        None, "the same for webs of spars; when left out as grain"
    )
    grain_straps: Annotated[str, OneOf(GRAINS)] | None = stated(
        None, "the same for butt straps; when left out as the part that they join"
    )
    allowance: Annotated[float, Within("fraction", "0", "1")] = stated(
        0.1, "sheets ordered beyond those nested, as a fraction, rounded up (own choice)"
    )
    strap_ratio: Annotated[float, Within("fraction", "2", "40")] | None = stated(
        None, "reach of a butt strap to each side of a joint, in thicknesses, for parts in pieces; "
        "straps are cut from the same stock; none when left out"
    )  # fmt: skip
    jig: Jig | None = stated(None, "drawings of a jig to set the frames up in; none when left out")


class Paper(Record):
    """Full-size drawings on paper: one sheet each, and in tiles where they are asked for."""

    size: Annotated[str, OneOf(("A4", "Letter"))] = stated("A4", "sheet of the printer at hand")
    lengths: Annotated[str, OneOf((IN_MM, IN_BOTH))] | None = stated(
        None,
        "how lengths are told on all papers of a hand-off: mm, or in / mm (inches first); when "
        "left out as most lengths of the file are written; DXF is drawn in mm either way",
    )
    overlap: Annotated[float, Within("length", "3 mm", "40 mm")] = stated(
        "10 mm", "overlap of neighbouring tiles"
    )
    tiles: Annotated[tuple[Annotated[str, OneOf(SHOPS)], ...], Field(max_length=4)] = stated(
        (),
        "folders whose full-size sheets come in tiles for a home printer, too: foam_stations, "
        "wing_cores, sheet_shop, ply_shop; none when left out",
    )


class Handoff(Record):
    """What the shops are asked for; a part of it that is left out is not handed off."""

    laminate: Laminate | None = stated(None, "the skin over cores and in moulds")
    moulds: Annotated[tuple[Mould, ...], Field(max_length=20)] = stated((), "parts to be moulded")
    foam: FoamStations | None = stated(None, "the pod as a stack of foam slabs")
    cores: Cores | None = stated(None, "hot-wire cores of the wing")
    sheet: SheetShop | None = stated(None, "the firewall in the sheet shop")
    ply: PlyShop | None = stated(None, "frames, ribs and webs cut from sheets")
    prices: Annotated[tuple[StockPrice, ...], Field(max_length=60)] = stated(
        (), "own prices of stock, for the totals of the parts list"
    )
    stock: Stock | None = stated(None, "what the builder has: each piece is held against it")
    paper: Paper = worked_out(Paper, "paper for full-size drawings")
