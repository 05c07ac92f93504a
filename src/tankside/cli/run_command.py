"""tankside run: carry out a plan on a supply or by hand, watch it, and audit what came out."""

import argparse
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.ports import Tools

_ACTIONS = {
    "begin": ("begin", "run"),
    "go": ("go", "run"),
    "hand": ("hand", "run"),
    "log": ("log", "run"),
    "show": ("after", "show"),
    "audit": ("after", "audit"),
    "cost": ("after", "cost"),
    "record": ("after", "record"),
    "supplies": ("after", "supplies"),
}
"""Module and function of each action."""


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Runs the action."""
    module, function = _ACTIONS[options.action]
    return int(getattr(import_module(f"tankside.cli.run.{module}"), function)(options, tools))
