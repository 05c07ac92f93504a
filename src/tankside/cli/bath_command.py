"""tankside bath ACTION: hands each action to its module, imported only then."""

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.ports import Tools

MODULES = {
    "example": "beginning",
    "check": "checking",
    "make": "making",
    "note": "keeping",
    "notes": "keeping",
    "ledger": "keeping",
    "state": "telling",
    "forecast": "looking_ahead",
    "next": "looking_ahead",
    "dose": "dosing",
    "titrate": "titrating",
    "density": "metering",
    "ph": "metering",
    "conductivity": "metering",
    "retire": "retiring",
    "rinse": "rinsing",
    "label": "labelling",
    "safe": "asking",
    "shelf": "shelving",
}
"""The module of `cli/bath` that holds each action, as a function of its name."""


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Runs the action."""
    from importlib import import_module

    module = import_module(f"tankside.cli.bath.{MODULES[options.action]}")
    action = getattr(module, options.action)
    return int(action(options, tools))
