"""What each shop gets, and how moulds, cores and sheet come about: the end of `handoff --help`."""

GUIDE = """\
What is wanted stands in the [handoff] tables of the parameter file; a table
that is left out is not handed off. To ask for a shop later, add its table to
the file: [[handoff.moulds]], [handoff.foam], [handoff.cores], [handoff.sheet];
and [handoff.laminate] where a skin is taken off. `geomgen new other.toml
--shops moulds,foam,cores,sheet` writes all of them, to copy from.

writes to DIR/NAME/ (NAME: name in the file), beside the solids:
  cut_or_not.pdf, cut_or_not.json
      For you: CUT or DO NOT CUT with its warnings counted; every check measured
      again on the files as read back from the disk, with limits, margins and
      closest points; three lengths of each part for the tape; hand, skin
      treatment; the hash of the whole set (those of its files are in the
      .json).
  parts_list.csv, parts_list.pdf
      For you: every part and blank, hand, material, size, volume, mass,
      laminate area, ply schedule, files; totals of foam, cloth, resin, sheet.
  mould_maker/
      Plugs or cores as STEP (master) and STL (companion), split, with flange,
      dowel holes and datum flats, in pieces that the router takes. Draft
      (lines of equal draft, walls at fault shown from their own side), undercut
      and fairness as drawings. The hole for a wing that passes through the
      pod. Lines to build to on each half, to scale with a table and at full
      size: firewall, frames, stringers, scoops' mouths and openings, the
      canopy's edge, what passes through, trim lines. The canopy's opening with
      its sizes.
  foam_stations/
      A template for each face of each foam slab of the pod, the smaller face
      as sanding limit, alignment holes far apart, cut-outs of parts that pass
      through. A template that stays between two slabs has a sheet and a row of
      its own. The stack as a whole; the blanks nested on foam sheets.
  wing_cores/
      Root and tip template of each core, left and right, each printed on the
      face that looks out of the foam, less the skin, kerf allowed for:
      numbered ticks, run-in and run-out, level line, troughs for the spar
      caps, chord, length and height as dimensions. A plan of the cores of each
      hand: where templates stand, spans, blocks.
  sheet_shop/
      The firewall's flat pattern with flange, relief cuts, bend lines and
      holes. A dimensioned drawing to scale: holes from the datum, bends by
      zone, a tab and a section. Where the flange is riveted on, its segments,
      all on one sheet.
  ply_shop/
      Every frame, rib, web and plate of a joint of the wing at full size as
      measured on its solid: outline, bevel line, openings, notches, holes of
      pins, station or buttock line, chord line, the joint, spars, grain arrow;
      all nested by stock. What ribs and webs are of stands in
      [[mass]] (part = "rib_a", "spar_main_web"); ribs of foam are not in it.
      grain says how the grain of the faces lies, grain_webs and the like that
      of one kind: webs often want 45 deg. Metal is nested on sheets of
      [[handoff.stock.sheets]] (material, length, width), or ordered cut to
      size.
      What has no room on a sheet comes in pieces, a frame on its centre line,
      with lines that a butt strap may reach to; strap_ratio (12: twelve
      thicknesses to each side) makes straps of them, patterns of their own,
      nested and in the parts list; a web gets one, too, where it bends with a
      break of dihedral. On which face each goes, its pattern says; no mass of
      the aircraft has them. Joints are not designed. A sheet for each spar:
      width and height of its caps along the span. The parts list has
      stringers, caps (a bent one by its straight parts, with the bends) and
      pins by length, and what to order; [[handoff.prices]]
      (stock = "birch plywood sheet, 3 mm", price = "41.50 of your money") adds
      what it costs, a sheet or a metre, at your own prices.
      With [handoff.ply.jig] a level board to set the frames up on: where each
      stands, its edges and legs above the board, in mm and in, to scale.
      Geometry, not strength: have the structure designed and checked by
      someone qualified.

exit code 1: a check, or something measured on the shops' files, fails; then
nothing is written. --release-anyway REASON writes it all the same, with the
reason on every sheet and list and in the header of every STEP. A draft or
undercut warning does not stop it: a side scoop's mouth is an undercut in a left
and right mould, and the report says that the scoop needs a mould of its own.

After a change, ask whether the set is still the one that the file describes:
  geomgen verify out/mine --against mine.toml

DRAWINGS come as DXF (millimetres, closed outlines of lines and arcs, layers
CUT, CAP, BEND, REF, TEXT, dimensions on DIM) and as PDF at full size on one
sheet, or a length off a plotter's roll where a large sheet would stay empty.
All papers tell lengths in inches first and in mm beside them where most of the
file's lengths are in inches or feet, or as handoff.paper.lengths says. A DXF is
drawn in mm either way, its figures as those of its sheet.

In tiles for a home printer only for the folders named in handoff.paper.tiles;
tiles with nothing to cut or read are left out. Print at 100 % and measure the
square of 100 mm first. All is read back and compared with the drawing before it
is handed over. Draft, fairness and the foam stack are drawings of views, to
look at: one sheet to scale, and DXF with the layers VISIBLE, SECTION, HATCH,
CENTRE, DIM.

THE SKIN. Each mould names its treatment, there is no default:
  plug_outside     the finished size, for a female mould taken off it
  core_minus_skin  stays inside the part and is smaller by the skin
  male_mould       the skin's inner face
How thick the skin is follows from the plies in [handoff.laminate], which way
the fibre runs from their fibre_angle. A NOTICE says where the thickness is more
than a tenth (own choice) off pod.wall or a scoop's wall.
Where the trailing edge of a moulded tip is thinner than both skins, its core
ends early, as one cut by the wire does; where the nose is too sharp for the
skin, it ends inboard of the tip. Notes, parts list and draft drawing say where:
fill what is left between the skins when they are laid. A skin is refused where
it leaves no core at all, or one thinner than its camber is high, which the
split through the chords would leave.

LINES ON MOULDS. lines = "drill points" in a row of handoff.moulds puts small
holes along them into the pieces, line_pitch apart; "grooves" cuts a V along
them, line_depth deep and line_width wide, "raised lines" has it stand on the
tool; neither with stock left on. A groove in a plug is a ridge in the mould
taken off it and a groove in the part; for a raised line on the part ask for
raised lines on the plug, for grooves in a male mould. They stand in a second
mesh of each piece, NAME_marked; the STEP stays smooth. line_depth has to be
less than the skin's thickness.
trim_allowance carries a mould on along the loft beyond the pod's rim, the
exit's fore end, the inboard end of a wing tip, to be trimmed at the line; other
ends have none, and openings are moulded over. Of a frame both faces are lines,
as far as it stands (a half frame's end with its cut),
of a stringer the edges of its outer side. Another part that is no flat sheet
has no line, the drawing names it.

YOUR STOCK. [handoff.stock] tells what you have: router, foam_block, car (each
length, width, height), board (length, width), wire_bow. Cores are cut along the
span to bow and block, flanges along their length to the board, plugs to the
router in length and, where they are too broad or too high, across and up, two
dowels in each joint; their notes say STA, BL, WL of each piece. A shorter
handoff.cores.bow or machine_length stays. stock.fit.* says which
piece does not fit, with its size: router, block and bow stop the hand-off.

HOT-WIRE CORES. With handoff.cores.bow, the longest block that bow and foam
allow, or your stock's, a longer panel is cut in several cores with templates in
between (core_panel2_right_1_root, ...), at both faces of a rib where one is
near. Less than 100 mm beside a joint of the outer wing is no core: that end is
told, and shaped by hand. spar_slots = true cuts each core through at both faces
of a spar's web, a nose and a tail piece: core.slot.* says how far off the web
the wire passes. The block in the parts list is square-cornered and holds the
wire's whole way; a core of a swept panel stands askew in it. A straight wire
cuts corners where the section changes along the panel: surface_tolerance says
how much of that you take. Templates that are wrong themselves are reported
apart from that.

THE FIREWALL'S FLANGE, flange in [handoff.sheet]:
  "tabs"             from the sheet itself, the default
  "angle ring"       segments of angle, butted and riveted to a flat sheet
  "joggled segments" each lifted over the next one by a joggle, lap long
Tabs are of one length, relief_pitch apart. Each is bent flat, to one angle if
the sealant fills what stays open between flange and skin (sealant_gap),
otherwise to as few angles as do, at most bend_angles. They are folded up again
from the drawing and measured against the hull as read back: sheet.seal_gap is
the widest gap, and where. Rivets stand two diameters or more from every edge
and three from each other (common practice); holes of sheet and ring are laid on
each other and measured. A ring is heavier than the flange in the solid:
sheet.ring_mass compares sheet and ring together, without rivets, with
rules.firewall_mass."""
