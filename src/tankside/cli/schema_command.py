"""tankside schema: the job file's JSON Schema on standard output."""

import argparse
import json
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Prints the schema."""
    from tankside.app.job.reading import job_schema

    json.dump(job_schema(), sys.stdout, indent=2)
    sys.stdout.write("\n")
    return 0
