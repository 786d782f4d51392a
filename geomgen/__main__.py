"""Runs the command line as `python -m geomgen`."""

import sys

from geomgen.cli import main

if __name__ == "__main__":
    sys.exit(main())
