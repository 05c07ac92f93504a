"""--sheet of the bath's actions: a PDF beside, or instead of, the words on the screen."""

import argparse
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.messages import Reader
from tankside.base.units import UnitSystem

if TYPE_CHECKING:
    from tankside.app.bath_sheet_port import BathSheets
    from tankside.app.ports import SheetRequest, Tools

Made = Callable[["SheetRequest", "BathSheets"], bytes]


def printed(
    options: argparse.Namespace, tools: "Tools", made: Made, *, named: str = "sheet"
) -> None:
    """Writes the sheet that --sheet, or another option, names, whole or not at all."""
    from tankside.app.ports import SheetRequest

    file: Path | None = getattr(options, named)
    if file is None:
        return
    units = UnitSystem.US if getattr(options, "units", "metric") == "us" else UnitSystem.METRIC
    how = SheetRequest(
        prepared=date.today().isoformat(), paper=options.paper, reader=Reader(units=units)
    )
    tools.write(file.parent, {file.name: made(how, tools.bath_sheets())})
    sys.stderr.write(f"The sheet is in {file}\n")
