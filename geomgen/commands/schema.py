"""`geomgen schema`: print the JSON Schema of a parameter file."""

import argparse
import json
import sys

from geomgen.terminal.answers import OK

WORDS = "print the JSON Schema of a parameter file"
GUIDE = """\
Every key with its type, meaning, default and limits. Save it and name it in
your editor's settings for TOML files, so that it completes and checks keys:
  geomgen schema > parameters.schema.json

How the file is written (units, places that follow others): geomgen new --help"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows

    sys.stdout.write(json.dumps(workflows.schema(), indent=2, allow_nan=False) + "\n")
    return OK
