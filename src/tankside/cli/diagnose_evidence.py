"""What `tankside diagnose` takes from files and panels: ledger, run, panel, photo; and pictures."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.ports import Tools
    from tankside.app.read_a_panel import PanelRequest


def evidence_of(options: argparse.Namespace, tools: "Tools") -> dict[str, Any]:
    """What the options name, as keywords of the request: bath, run, panel."""
    bath = run = None
    if options.ledger is not None:
        from tankside.app.known_of_a_case import known_of_bath

        bath = known_of_bath(tools.ledger(options.ledger))
    if options.run_folder is not None:
        run, temperature = _run(options.run_folder, tools)
        if temperature is not None:
            bath = _with_temperature(bath, temperature)
    return {"bath": bath, "run": run, "panel": _panel(options, bath)}


def pictures_written(folder: Path, tools: "Tools") -> str:
    """Writes the pictures of all faults into `folder`; says what is there."""
    from tankside.app.record_a_diagnosis import pictures_of_faults

    pictures = pictures_of_faults(tools.diagnosis_sheets())
    tools.write(folder, pictures)
    return (
        f"{len(pictures) - 1} pictures are in {folder}, each named by its fault, and all of them "
        "in all-faults.svg; name what you see with --seen"
    )


def photo_read(options: argparse.Namespace, tools: "Tools") -> tuple[str, ...]:
    """Zones proposed from the photo, in words, for the person to name with --panel."""
    from tankside.app.read_a_panel import read_a_photo, told_proposal

    if not options.panel_corners:
        raise BadInput("a photo needs the panel's four corners", where="--panel-corners")
    proposed = read_a_photo(
        tools.photo(options.panel_photo), options.panel_corners.split(), options.panel_cell
    )
    return (
        "Stretches of even look, from the high-current edge; each end with where it may lie:",
        *(f"  {line}" for line in told_proposal(proposed)),
        "Look at the panel, name each stretch and correct its ends, and give them with --panel.",
    )


def _run(folder: Path, tools: "Tools") -> tuple[Any, Any]:
    from tankside.app.known_of_a_case import known_of_run
    from tankside.app.order_a_run import from_json

    keeper = tools.runs().opened(folder)
    try:
        order = from_json(keeper.order(), where=str(folder / "order.json"))
        return known_of_run(order, keeper)
    finally:
        keeper.close()


def _with_temperature(bath: Any, temperature: Any) -> Any:
    from tankside.app.known_of_a_case import warmed

    return warmed(bath, temperature)


def _panel(options: argparse.Namespace, bath: Any) -> "PanelRequest | None":
    if options.panel is None:
        if options.panel_current or options.panel_before:
            raise BadInput("name the zones of the panel, too", where="--panel")
        return None
    from tankside.app.read_a_panel import PanelRequest

    if not options.panel_current:
        raise BadInput("a panel needs the current that it was plated at", where="--panel-current")
    return PanelRequest(
        zones=options.panel,
        current=options.panel_current,
        duration=options.panel_minutes,
        cell=options.panel_cell,
        earlier=tuple(options.panel_before),
        bath=bath,
    )
