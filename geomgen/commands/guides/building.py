"""What a build makes, and how parts come to their shapes and names: the end of `build --help`."""

GUIDE = """\
writes a set, all files of one build, to DIR/NAME/ (NAME: name in the file):
  PART_mm.step, NAME_mm.step
      The solids, one per part and all together: AP242, millimetres, names and
      colours. The master.
  PART_mm.stl
      One mesh per part, never further from its solid than
      output.mesh_tolerance (0.1 mm if you say nothing). The companion.
  parameters.toml
      The file as used, all defaults filled in, with the aerofoil point files
      that it names.
  checks.json
      Every check: measured value, limit, margin, verdict, method, error bound,
      place, source.
  places.json
      Where openings, clearances and planes are measured, so that the set can
      be measured again by itself.
  balance.json, air.json
      Masses and centres, and the air about the machine, where the file has
      them ([[mass]], [air]): what `balance` and `air` show, all figures.
  manifest.json
      Of every file hash, size, unit, box, volume, area, tolerance and measured
      deviation; versions; fingerprint of the parameters.

Each STL is read back from the disk and verified: watertight, one body,
outward, positive volume, accepted by a second mesh library, deviation measured
both ways. Each STEP is read back: valid, one solid, same volume, same box,
millimetres. The set replaces the old one only when complete; if a file fails,
the old set stays as it was. The same file gives the same bytes. A report or a
hand-off of the set before goes with it; a NOTICE says so, and which command
writes it again. While another run is at work on the same set, a second one
waits for it and says so.

DIR/.kept/ holds solids, meshes and figures by the fingerprint of all that they
depend on: what the builder of each part read of the file, the code, the
kernel, the tolerance. What did not change is taken from there, to the last bit
what a clean build gives. Damaged entries are noticed and made again. It stays
below 1 GiB and may be deleted at any time; --afresh ignores it. A set that is
there already stays as it is where file, program and libraries are the same and
each of its files still has the hash that it was proved with.

exit code 0: the files were written, whatever the checks say; `check` and
`handoff` answer with 1 when one fails.

THE POD is lofted from control stations: crown, keel, maximum breadth and its
height, and a fullness for the upper and the lower quadrant ("ellipse", or a
number up to 0.85 for a boxier section). Its lines are curvature-continuous,
and each is the fairest that keeps near its stations: what you draw is lofted,
and where a line is not fair as drawn, a NOTICE says so (the fairness sheets of
the hand-off show all of it). A round end begins with a point; a flat one is
closed by a wall; tail = "open" lets the cooling air out.

JOINTS. Where parts meet, declare a joint (trim = "wing", to = "boom",
gap = "0.3 mm"): one is trimmed to the other. Gaps are laid off in the plane of
a section. What is not declared and runs into each other is reported with its
depth. A joint that cuts a part in two makes two parts of it:
  wing_right, wing_left         where the pod interrupts the wing
  wing_centre, wing_outer_right, wing_outer_left (or wing_inner_...)
                                where booms do
  fin_..., ventral_fin_...      above and below a boom
  boom_fore_..., boom_aft_...   ahead of and behind a wing
An offcut (at most 1 % of the part and 50 cm^3, own choice) is left out. Both
are said as a NOTICE, and so is a joint that cuts nothing. Pieces that nobody
could want, a pylon's end above the wing for one, are refused: how large, where,
and between which values it would do.

FRAMES AND STRINGERS ([[frames]], [[stringers]]) stand inside the pod. A frame's
edge follows the inside of the skin, off it by its gap for the bond, all round
and through its thickness; a ring's inside, openings and the notches for
stringers are cut square to the sheet. A floor or half frame stands over a part
of the contour only: it is cut off straight and level, square to the sheet, at
top or bottom (waterlines), or clear of the wing or the canopy's sill by end_gap
(under = "wing" or "canopy", over = "wing"). A ring cut off at both ends is two
side pieces (frame_NAME_right, _left). A stringer is a straight-sided strip: the
two corners of its section at the skin stand off it by its gap. They are
geometry and bookkeeping, not strength: the structure has to be designed and
checked by someone qualified.

SPARS AND RIBS ([[spars]], [[ribs]]) stand in wing, tailplane or fins, full
depth less the skin and 0.05 mm (own choice). A spar of caps is one solid for
each cap and web (spar_main_cap_upper, spar_main_web), a tube one; at BL 0 it
goes through to the other side. A rib is a flat sheet square to the centre
plane, of a fin level; spars part it into nose, middle and tail
(rib_a_1_nose_right). They are geometry and bookkeeping, nothing of strength:
somebody qualified must design and check them. What the wing weighs by its
volume is less what they take the place of; the room inside a box or tube
stays full. A wing that was weighed has them in it. Cores of foam are cut
without slots for them.

WHERE THE OUTER WING COMES OFF ([spars.wing_joint]) a spar of caps is in two
halves, and plates on the face of its web lap: by turns one of the inner and one
of the outer half, packings where a plate of the other half ends
(joint_plate_main_inner_1_right). Pins go fore and aft through plates and webs
(joint_pin_main_1_right), whose holes are cut. Plates are flat, so the web must
be straight in plan along them; a tube has no web. [[ribs]] with beside_joint
stand on both sides; cores part there. The skin is in two parts as well,
skin_gap apart (wing_centre, wing_outer_right; fin_lower_right).
access_hole cuts an opening through the skin in line with each pin. With plates
on one face of a box the pins end inside of it, where no socket gets at their
nuts: nut_hole opens its other web there. An opening from below is not drawn.
Geometry, nothing of strength.

FITTINGS ([[fittings]]) are bolted plates: the place where something is fixed,
not the lug or bracket that it carries. A foot is put on a face of the firewall
or of a frame by on and side, or stands where station, tilt and sweep say. What
stands in wing or tail says so by inside. CONTROLS ([controls]) are room only:
boxes that stick and pedals sweep, straight runs of pushrods and cables. ACCESS
([[access]]) is the straight way of a hand. Of these two nothing is built; that
parts keep clear of them is measured. Strength is nobody's here: bolts, plates
and what carries them must be designed and checked by somebody qualified.

NOT MODELLED: controls themselves. Booms, wing and gear legs are full
bodies, envelopes for clearance and templates, not structures. Sections of
wing and tailplane stand upright across the span (planes of constant buttock
line): square to a panel with dihedral, aerofoil and gap are thinner by the
cosine of that angle, 0.71 times at 45 deg. Write a thicker aerofoil for a V
tail."""
