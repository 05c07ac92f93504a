"""tankside bath label NAME: what stands on the label, as text."""

import argparse
from typing import TYPE_CHECKING

from tankside.cli.bath.files import asked, content
from tankside.cli.bath.pages import Page, print_json

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def label(options: argparse.Namespace, tools: "Tools") -> int:
    """Classifies and prints."""
    from tankside.app.bath.label_a_bottle import LabelRequest, label_a_bottle

    shelf, shelf_name = content(options.shelf, tools, "--shelf")
    reply = label_a_bottle(
        LabelRequest(
            identifier=options.identifier,
            copper_sulfate=options.copper_sulfate,
            acid=options.acid,
            ledger=None if options.ledger is None else asked(options, tools, options.ledger),
            grade=options.grade,
            shelf=shelf,
            shelf_name=shelf_name,
            product=options.product,
        )
    )
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_a_label
        from tankside.cli.bath.printing import printed

        printed(
            options,
            tools,
            lambda how, sheets: print_a_label(reply, options.copies, how, sheets),
        )
    if options.json:
        print_json(reply.as_json())
        return 0
    held = reply.label
    page = Page(held.identifier.upper())
    page.head((held.signal_word or "no signal word").upper())
    page.points("PICTOGRAMS", [f"{one.name}: {one.symbol}" for one in held.pictograms])
    page.points("HAZARDS", [f"{one.code}  {one.text}" for one in held.hazards])
    page.points("PRECAUTIONS", [f"{one.code}  {one.text}" for one in held.precautions])
    page.points(
        "HOLDS", [f"{name}: up to {100 * share:.3g} %" for name, share in reply.contents.items()]
    )
    page.points("NOTE", held.notes)
    page.printed()
    return 0
