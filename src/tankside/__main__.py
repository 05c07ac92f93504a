"""python -m tankside: the command line."""

import sys

from tankside.main import run

sys.exit(run())
