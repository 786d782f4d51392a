"""`geomgen report`: write a page, drawings, pictures and models to look at beside the set."""

import argparse
import sys

from geomgen.terminal.answers import OK, outcome, outcome_json
from geomgen.terminal.arguments import file_options, out_option, store_of, store_option

WORDS = "write a page, drawings, pictures and models to look at beside the set"
GUIDE = """\
writes to DIR/NAME/, made from the set that stands there; it is built first if
need be, and stays byte for byte what it was:
  report.html
      One page, opens from the disk with no network: the verdict in a sentence;
      every check with a bar from limit to measured value and a link to its
      place in the 3D view; parts to show and hide, clearances as lines,
      openings filled as measured; drawings, sizing, parts and masses,
      cautions, how it was made. For a screen, a phone, paper, dark rooms, the
      keyboard.
  drawings/
      Three-view with hidden lines removed; the pod's breadth as cut and uncut,
      as its plug has it, where a wing is cut out of its widest place;
      sections; the engine bay cut along the thrust line with its measured
      sizes; the machine on its wheels: the ground in each attitude, angles to
      the centres of gravity, propeller clearances, the pilot's sight (only
      what the file knows; without wheels that carry it there is no such
      sheet). DXF (full size, real dimensions), PDF and SVG on an ISO sheet.
  pictures/
      PNG pictures, made without a display. With a [pilot] also what he sees
      from his eye: horizon, a grid of degrees, what bars it (pilot_sight.png).
  NAME_m.glb, NAME_mm.3mf
      The assembly for a tablet (glTF 2.0, metres) and for a printer (3MF,
      millimetres, without the swept volume).
Every file is read back and verified.

Drawings tell lengths in inches first and in mm beside them where most of the
file's lengths are in inches or feet, or as drawings.lengths says; a DXF is
drawn in mm either way, its figures as those of its sheet.

The [drawings] table chooses first or third angle, the sheet, and the stations
to cut at:
  [drawings]
  projection = "third angle"
  sheet = "A2"
  stations = ["600 mm", "1200 mm", "1800 mm"]

exit code 0: the files were written, whatever the checks say."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    store_option(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    with console.progress(args.quiet or args.json) as step:
        result = workflows.report(args.file, args.overrides, args.out, step, store=store_of(args))
    if args.json:
        more: dict[str, object] = {"page": str(result.page), "files": list(result.files)}
        more |= {"built": result.built, "seconds": result.seconds, "making": result.making}
        return outcome_json(result, OK, folder=str(result.folder), **more)
    outcome(args, result)
    console.show(console.report_end(result), sys.stdout)
    return OK
