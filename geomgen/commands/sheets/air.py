"""`geomgen air`: the air about the machine, the cooling air through it, and what decides it."""

import argparse
import sys

from geomgen.commands.sheets.answering import add_options, answered
from geomgen.terminal.arguments import Parser

WORDS = "pressures outside, what the mouths catch, how warm the cooling air gets"
GUIDE = """\
From the table [air] (mass that the wing carries, propeller, what else is known)
and from the finished solids: the air about them is computed on panels, climb,
level flight, glide and standing with the propeller turning.

The sheet, by state:
  speed, attack, thrust
  each mouth: pressure ahead of it, share of the ram pressure that it catches,
    thickness of the slow layer on the skin before it
  the pressure outside the exit
  the cooling air: flow, rise against the allowed, the exit that would be right,
    what decides it, where the pressure goes; the rules of thumb beside it
  the neutral point, beside the estimate of the mass sheet
  where along the pod a mouth would find the most pressure
Below it the checks of the air: geomgen check --help has their limits. Nothing
is written but what is kept in DIR/.kept.

  geomgen air configs/saltmarsh.toml
  geomgen air mine.toml --set 'air.mass=280 kg'
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


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    return answered(
        args,
        workflows.air,
        lambda result: console.air_lines(result, console.width_of(sys.stdout), args.quiet),
    )
