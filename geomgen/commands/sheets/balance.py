"""`geomgen balance`: mass, centre of gravity in every loading, and how it stands."""

import argparse
import sys

from geomgen.commands.sheets.answering import add_options, answered
from geomgen.terminal.arguments import Parser

WORDS = "mass, centre of gravity in every loading, and how it stands"
GUIDE = """\
From the tables [[mass]] (what parts are made of, or weigh), [[items]] (what has
no solid), [[tanks]] and [loads] (pilots, baggage, loadings with a name), and
from the finished solids: volume and skin are measured, joints taken off.

All combinations of the extremes are worked out: each pilot, tanks empty and
full, baggage none and most. Items in no empty mass are carried and not.

The sheet: every line with mass, place and moment; the empty machine; each
loading with its centre and inertia; wing area, wing and power loading; what
would bring the aft centre forward.
Below it the checks of mass, centre and wheels: geomgen check --help has their
limits. Nothing is written but what is kept in DIR/.kept.

Static margins count from an estimate of the neutral point. With [air] in the
file and rules.neutral_point = "air" they count from that of the computed air,
which takes longer; the estimate stands beside it. Neither is a measurement.

  geomgen balance configs/saltmarsh.toml
  geomgen balance mine.toml --set 'items.battery.station=300 mm'
  geomgen balance mine.toml --set 'rules.neutral_point=air'
  geomgen balance mine.toml --json

A tank with [tanks.shape], a box or a cylinder with its wall, becomes a solid,
tank_NAME: the room inside is measured, the full tank's fuel stands in its
middle, and it must hold usable and unusable fuel with room to expand. An item
may stand in its centre (at = "tank"), so that it is weighed.

A part that was weighed: [[mass]] with part and weighed = "3.42 kg", as geomgen
weigh writes it; what the solid gives stands beside it. Computed masses are no
weighing: weigh the finished machine and have it checked."""


def add(parser: Parser) -> None:
    """Add the options of this command."""
    add_options(parser, GUIDE)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    return answered(
        args,
        workflows.balance,
        lambda result: console.balance_lines(result, console.width_of(sys.stdout), args.quiet),
    )
