"""How a parameter file is written: the end of `new --help`; plain text, free to load."""

BEGINNING = """\
On a terminal, with no option given, it asks one by one; Enter takes the
default. The file builds as it is and passes its checks: every key with its
meaning, keys that are left out named behind a #. Dimensions and
masses go together, but strength and stability are for you to work out, and the
masses are our own estimates: weigh yours.
A file that is there stays, unless --replace is given.

examples:
  geomgen new mine.toml
  geomgen new mine.toml --gear tailwheel --wing mid --tail inverted-v \\
      --scoops shoulder,belly --units imperial --shops cores,sheet
  geomgen new --examples
  geomgen new mine.toml --from saltmarsh"""

FILE_GUIDE = """\
HOW THE FILE IS WRITTEN

Units. Every value that has a dimension carries its unit:
    "1.35 m"  "53 in"  "4' 5-3/8\\""  "22 kW"  "45 kts"  "31 sq in"  "3 deg"
    "108 degF rise"
  A decimal comma and a bare number are refused; so is an unknown key, with the
  nearest right name.

Axes. x aft (stations, STA), y to the right (buttock lines, BL), z up
  (waterlines, WL).

Limits. Any limit in [rules] may carry its reason, which is printed beside the
  check:
    engine_clearance = { value = "30 mm", source = "my own hands" }

Aerofoils. "NACA 2412", "NACA 23012", or "file:name.dat": a text file of points
  in the folder of this file or below it. A pair of numbers a line, x and y in
  chords, from the upper trailing edge round the nose to the lower one:
    my aerofoil
    1.0000   0.0010
    0.9500   0.0124
    ...
    0.0000   0.0000
    ...
    1.0000  -0.0010
  11 to 2000 points; the nose at x = 0, the trailing edge at x = 1, both within
  2 %; the edge open by at most 5 % of the chord. The first line may be a name;
  lines that begin with # or ! are comments. Or, after a line with the numbers
  of points of both sides, the upper side and then the lower one, each from the
  nose aft.

Only what differs. A file may stand on another one; its keys hold where this
  one is silent:
    extends = "saltmarsh.toml"
    name = "mine"

    [propeller]
    diameter = "1.25 m"

Places that follow others. A station, waterline or buttock line may count from
  another part, alone or with + or - and a length:
    [engine.fan_face]
    station = "firewall + 400 mm"

    [[scoops]]
    mouth = "pod end - 43 in"
  Move the firewall, in the file or with --set firewall.station=..., and all
  that counts from it moves with it.

  stations may count from
    pod start, pod end, boom start, boom end, firewall, exit rim, fan face,
    tail fairing start, tail fairing end
    blades: the blade plane, however it is given
    wing leading edge, wing trailing edge; the same of tailplane, fin, pylon
      (at the root; of a fin, its lowest section)
    the name of an engine box or cylinder: its front; NAME end: its aft end
    the name of a scoop: its mouth
  waterlines may count from
    thrust line (at the blade plane), wing leading edge, boom start, boom end,
    fan face
    the name of an engine box or cylinder: its centre
  buttock lines may count from
    boom, wing tip

  Places that count from each other in a circle are refused, with their keys
  and lines. parameters.toml of a set holds the lengths that came of it, with
  what was written beside them.

`geomgen schema` prints every key with its meaning, for an editor that
completes keys."""
