"""What each check measures on the solids, and what it is compared with: the end of `check --help`.

The one place where all checks are listed in words; plain text, so that it costs nothing to load.
"""

GUIDE = """\
Measures the solids and compares them with the targets of `geomgen size FILE`,
which shows each one with formula, inputs, band and source. What came of it
stands in checks.json and, with `geomgen report FILE`, on a page: value, limit,
margin, verdict, method, error bound, place, source.

verdicts:
  PASS          inside the limit by more than the error bound
  FAIL          outside the limit
  warn          inside, but nearer to the limit than the error bound; or outside
                a limit that only warns; or no limit is given: the note says why
  not measured  the note says why; fails too, unless the file leaves out what
                there was to measure

exit code 1: a check failed, or one that was due could not be measured.

Writes DIR/NAME/checks.json (NAME: name in the file). A set that was built is
never touched: if it was built with other parameters, the outcome goes into
DIR/NAME.checks beside it.

PROPELLER
  Limits are those of rules.clearances: 14 CFR 23.925 as it stood before Amdt
  23-64, or CS 22.925 (sailplanes and powered sailplanes; it knows no smaller
  clearance by substantiation). [rules] may set others, each with its source.

  prop.radial_clearance
      Least distance from the swept tips to whatever stands in the blades'
      axial range; shake included. Limit: 1 in (14 CFR), 25 mm (CS).
  prop.axial_clearance
      Least gap along the shaft, from the swept volume's own face at each
      radius, to whatever stands within the tip radius; flex and shake
      included. Limit: 1/2 in (14 CFR), 13 mm (CS).
  prop.clearance
      Least true distance between swept volume and any fixed part, so also
      round the corner of the two above; of the engine what lies outside the
      hub. Limit: the lesser of both (own choice).
  prop.spinner_clearance
      Room left round the spinner wherever the mounts let it shake. Limit:
      positive (14 CFR 23.925(d)(3)).
  prop.shaft_end
      Where the engine ends in a shaft: from its end, on the thrust line, to the
      front of the hub; negative inside it. Limit: 5 mm (own choice).
  prop.trailing_edge_gap
      From every part of a trailing edge inside the disc (wing, tailplane,
      pylon, fins) to the blades, in local chords. Booms, hull, scoops and
      wheels are judged in millimetres only, by the clearances above. Limit:
      your own, rules.trailing_edge_gap (common practice).
  prop.tip_mach
      From the measured tip radius (less the shake), the propeller's rpm and
      the level speed. Limit: your own, rules.tip_mach (common practice).

GROUND
  Swept volume over the plane that touches all wheels' tyres. The weight is
  taken to stand on the centre plane, an eighth of the wheel base from the
  mains. Not seen: where it really stands, struts that wheels share, and the
  worst load.

  prop.ground_clearance.static       standing and level
  prop.ground_clearance.take_off     nosewheel: nose up at gear.take_off_pitch
                                     (gear.rotation when left out)
  prop.ground_clearance.tail_down    tailwheel: on all wheels
      Limit: the rule set's, for the level, normal take-off and taxying
      attitude. 14 CFR: 7 in with a nosewheel, 9 in with a tailwheel;
      CS: 180 mm and 230 mm.
  prop.ground_clearance.rotated      nosewheel: nose up at gear.rotation
  prop.ground_clearance.flat_tyre    each tyre flat in turn, its strut bottomed:
                                     the least, and which tyre it is
  prop.ground_clearance.spring       leaf springs bent as at 1.5 g
      Limit: positive.

FIREWALL
  firewall.area
      Section of the sheet. Limit: your own, rules.firewall_area.
  firewall.fill
      Share of the hull's clear section, all holes taken out. Limit: 0.97
      (own choice).
  firewall.edge_gap
      The widest slit to the hull. Limit: what the sealant fills,
      rules.firewall_gap.
  firewall.open_holes, firewall.astray_fittings
      Holes of the sheet that no fitting of the file covers; fittings that
      stand in no hole of the sheet, or not square to it within 5 deg. That a
      fitting closes its hole is taken from the file: no fitting is drawn.
      Limit: none of either (own choice).
  firewall.material, firewall.thickness, firewall.fittings
      Sheet and fittings. Limit: 14 CFR 23.1191(h), before Amdt 23-64.
  firewall.mass
      Measured volume x density. Limit: your own, rules.firewall_mass.
  firewall.opening_area
      Its holes together; a figure to read, without a limit.

COOLING AIR
  SCOOP stands for the part's name, such as scoop_cheek_right.

  inlet.area, inlet.area.SCOOP
      The open area in the plane of each mouth, with everything that stands
      there. Limit: all mouths, bhp / (2.2 V), V in ft/s (inlet rule of thumb,
      source not checked); each mouth, as drawn.
  duct.throat_area.SCOOP
      Least area along the passage, in planes turned and moved until they cut
      the least (the error bound covers the least that was found); that the
      passage is open and reaches the bay. Limit: rules.throat_to_mouth x the
      mouth as drawn.
  duct.turn_angle.SCOOP
      Total turn from mouth to fan, with its parts at the mouth, in the
      passage, in the bay and at the fan. Limit: your own, rules.duct_turn.
  inlet.way.SCOOP, exit.way
      The least open area of the whole way, with every part that stands there:
      from the free air ahead of the mouth (as far as the mouth is large) to
      the fan; from the engine to the free air behind the rim. Looked for in
      cells, and by planes laid across the stream. A place that is narrower is
      named, with its own error bound; otherwise the figure of the planes
      holds, and the note says how much narrower a place could go unseen
      between those planes or round a plate's edge (on the saltmarsh example a
      third of a mouth, two fifths of the exit). Limit: as throat and exit.
  inlet.way
      With more than one mouth, the least open area of all their ways to the
      fan together: the sum of the ways; where ways meet in a place that is
      narrower than they are in sum, that place once. Ways that stay apart (a
      fan each, separate bays) are the sum; how a fan shares its draught
      between them is not measured. Limit: rules.throat_to_mouth x all mouths
      as drawn.
  exit.area
      The least open area at and ahead of the rim, in planes. A cone or a
      slanting wall beside the rim can leave less: see exit.way. Limit:
      rules.exit_to_inlet, less its band, x the inlet needed (common practice,
      disputed).
  exit.to_inlet_ratio
      Exit over inlet, as measured. Limit: rules.exit_to_inlet, less its band
      (common practice, disputed); above it, plus its band, warns.
  exit.area_by_heat
      exit.way once more, against the exit that engine heat and pressure need,
      from [cooling]. Fails if it is short by more than cooling.spread, warns
      if short by less; fails too where the ram pressure can't push the air
      out at all. Limit: energy balance and Bernoulli's equation.

JOINTS, ENGINE AND MESH
  engine.clearance
      Least gap between the engine and any part that does not turn with it or
      stand in engine.fixed_parts, with the two closest points. Limit: your
      own, rules.engine_clearance (room for hands).
  parts.interference
      Depth of the worst place where two parts share space: how far a point of
      one lies below the skin of the other, from the side it was entered. The
      spinner is drawn solid: a shaft ends at its base. Limit:
      rules.interference, 0 mm if you say nothing.
  parts.attached
      Number of parts from which no chain of joints leads to the pod. Wheels
      and engine do not count: their legs and mounts are not drawn. A part
      that the engine carries, such as a tail fairing about the shaft, is
      named in the file: fixed_parts = ["tail_fairing"] in [engine]. Limit:
      none (own choice).
  parts.seat
      Least share of its section that tailplane, a fin or the pylon bears on,
      by its best joint. Limit: half; less warns (own choice).
  mesh.deviation
      Largest distance between a mesh and its solid, both ways. Limit:
      output.mesh_tolerance.

No check sees parts that the file does not have: exhaust, cables, gear legs.
Strength, flutter, weight and balance are not looked at."""
