"""`geomgen air`: the air about the machine, the cooling air through it, and what decides it."""

import argparse
import sys
from functools import partial

from geomgen.commands.sheets.answering import add_options, answered
from geomgen.terminal.arguments import Parser

WORDS = "pressures outside, what the mouths catch, how warm the cooling air gets"
GUIDE = """\
From the table [air] (mass that the wing carries, propeller, what else is known)
and from the finished solids: the air about them is computed on panels, climb,
level flight, glide and standing with the propeller turning.

The sheet, by state:
  speed, attack, thrust
  each mouth: pressure and speed ahead of it, share of the ram pressure that it
    catches, thickness of the slow layer (boundary layer) on the skin before it,
    how far the air is off square to it, the turn of its passage
  the pressure outside the exit
  the cooling air: flow, rise against the allowed, the exit that would be right,
    what decides it, where the pressure goes; the rules of thumb beside it
  the neutral point, beside the estimate of the mass sheet
  places along crown, side and keel for a mouth of the size that you give with
    --mouth, or of the file's largest, in order; a place fails where
      the slow layer is not told or has left the skin, is thicker than
        rules.slow_layer of the height, or leaves less than rules.inlet_pressure
      the turn straight to the fan is more than rules.duct_turn
      wing, tail, boom or pylon is within half the width of the mouth, or within
        its height and gap, whichever is more (own choice)
      it lies on the canopy
Below it the checks of the air: geomgen check --help has their limits. Nothing
is written but what is kept in DIR/.kept.

  geomgen air configs/saltmarsh.toml
  geomgen air mine.toml --set 'air.mass=280 kg'
  geomgen air mine.toml --mouth '6 in x 2.5 in'
  geomgen air mine.toml --json

Cp is the pressure over that of the free air, in ram pressures: 1 where the air
is stopped, 0 as in the free air, below 0 where it sucks. Each figure says how
far it may be off, by the computation and its inputs; what is not seen at all
stands at the end of the sheet.

A computed pressure is no measurement: tuft the pod, and measure temperatures on
the ground first."""


def add(parser: Parser) -> None:
    """Add the options of this command."""
    add_options(parser, GUIDE)
    parser.add_argument(
        "--mouth",
        default="",
        metavar="SIZE",
        help="size of the mouth that places are looked for, such as '160 mm x 60 mm': width "
        "along the skin, height off it; the file's largest when left out",
    )


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    return answered(
        args,
        partial(workflows.air, mouth=args.mouth),
        lambda result: console.air_lines(result, console.width_of(sys.stdout), args.quiet),
    )
