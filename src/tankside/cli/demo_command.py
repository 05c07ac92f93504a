"""tankside demo: plans the example job that the package brings along."""

import argparse
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.cli.plan_command import shown

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Makes the finial's mesh in a temporary folder and plans the job beside it."""
    from tankside.app.example_job import example_files

    files = example_files()
    with tempfile.TemporaryDirectory() as folder:
        tools.write(Path(folder), files)
        text = files["finial.toml"].decode()
        return shown(text, "finial.toml", Path(folder), options, tools)
