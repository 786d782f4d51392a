"""`geomgen schema`: print the JSON Schema of a parameter file."""

import argparse
import json
import sys

from geomgen.commands.answers import OK

WORDS = "print the JSON Schema of a parameter file"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import pipeline

    sys.stdout.write(json.dumps(pipeline.schema(), indent=2, allow_nan=False) + "\n")
    return OK
