"""tankside bath example DIR: a bath's file and a shelf's file to begin with."""

import argparse
from typing import TYPE_CHECKING

from tankside.cli.bath.pages import Page, print_json

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def example(options: argparse.Namespace, tools: "Tools") -> int:
    """Writes the files, and says which."""
    from tankside.app.bath.example_bath import example_files

    files = example_files()
    tools.write(options.folder, files)
    if options.json:
        print_json({"folder": str(options.folder), "files": list(files)})
        return 0
    page = Page(f"Written into {options.folder}:")
    for name in files:
        page.point(name)
    page.printed()
    return 0
