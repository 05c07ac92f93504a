"""tankside serve: the workbench page, on this machine or shared on the local network."""

import argparse
from typing import TYPE_CHECKING

from tankside.app.serving import ServeOptions
from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Serves until it is stopped."""
    if not 0 <= options.port <= 65535:
        raise BadInput(
            "{port} is no port; give one from 1024 to 65535, or 0 for any", port=options.port
        )
    tools.serve(
        ServeOptions(
            home=options.home,
            store=options.store,
            port=options.port,
            share=options.share,
            browse=options.browse,
        )
    )
    return 0
