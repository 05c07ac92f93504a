"""tankside bath dose LEDGER SHELF.toml: what to add or take out, and how likely that helps."""

import argparse
from typing import TYPE_CHECKING, Any

from tankside.base.units import Kind, UnitSystem, shown, told
from tankside.cli.bath.files import asked as asked_of
from tankside.cli.bath.files import content
from tankside.cli.bath.pages import (
    Page,
    concentration_unit,
    first_up,
    percent,
    print_json,
    spread,
)
from tankside.cli.bath.telling import WORDS

if TYPE_CHECKING:
    from tankside.app.bath.dose_a_bath import DoseReply
    from tankside.app.ports import Tools


def dose(options: argparse.Namespace, tools: "Tools") -> int:
    """Advises and prints."""
    from tankside.app.bath.dose_a_bath import DoseRequest, dose_a_bath

    shelf, shelf_name = content(options.shelf, tools, "dose")
    reply = dose_a_bath(
        DoseRequest(
            asked=asked_of(options, tools, options.ledger),
            shelf=shelf,
            shelf_name=shelf_name,
            capacity=options.capacity,
            least=options.least,
            probability=options.probability,
            panel=options.panel,
        )
    )
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_doses
        from tankside.cli.bath.printing import printed

        title = options.ledger.stem
        printed(options, tools, lambda how, sheets: print_doses(reply, title, how, sheets))
    if options.json:
        print_json(reply.as_json())
        return 0
    _page(reply, str(options.ledger)).printed()
    return 0


def _page(reply: "DoseReply", name: str) -> Page:
    from tankside.app.bath.moments import told_moment

    page = Page(
        f"{name}: what brings the bath, as it was at {told_moment(reply.at)}, inside its window "
        f"with {percent(reply.asked)} at least"
    )
    page.points(
        "MIND",
        [*(one.text for one in reply.cautions), *reply.advice.notes, *reply.notes],
        mark="!",
    )
    for number, one in enumerate(reply.advice.options, start=1):
        page.head(f"{number}. {first_up(one.words)}: {percent(one.probability)} that all is inside")
        for caution in one.cautions:
            page.point(caution, mark="!")
        for action in one.actions:
            page.point(_action(action, reply))
        page.table(
            [
                ("", "", ""),
                *(
                    (
                        WORDS[quantity],
                        spread(value, concentration_unit(quantity)),
                        f"{percent(one.probabilities[quantity])} inside",
                    )
                    for quantity, value in one.ends.items()
                ),
            ]
        )
        page.say(_price(one))
    page.gap()
    page.say(f"Windows: {reply.whose}. What is done is noted with 'tankside bath note'.")
    if reply.additive is not None:
        page.points("ADDITIVE: ampere-hours propose, a test panel decides", _additive(reply))
    return page


def _action(action: Any, reply: "DoseReply") -> str:
    if not hasattr(action, "product"):
        return f"Take out {shown(action.volume, 'L', 4)} of bath, into a labelled bottle."
    amount = told(action.mass, Kind.MASS, UnitSystem.METRIC, 4)
    if action.volume is not None:
        amount = f"{told(action.volume, Kind.VOLUME, UnitSystem.METRIC, 4)} ({amount})"
    return f"Add {amount} of {action.product}, by {reply.tools[action.product]}."


def _price(one: Any) -> str:
    if not one.actions:
        return "Costs nothing."
    cost = f"Costs {one.cost:.2f} {one.currency}"
    if one.cost is None:
        cost = "What it costs is not known, as a price is missing"
    waste = f"; {shown(one.withdrawn, 'L')} are taken out" if one.withdrawn > 0.0 else ""
    return f"{cost}{waste}."


def _additive(reply: "DoseReply") -> list[str]:
    held = reply.additive
    if held is None:
        return []
    words = [first_up(held.proposal.sentence)]
    if held.dose is None:
        words.append("No panel was told (--panel bright, dull or overdosed), so nothing is dosed.")
    elif held.dose <= 0.0:
        words.append("By that panel, add none.")
    else:
        amount = told(held.dose, Kind.MASS)
        if held.density is not None:
            amount = f"{told(held.dose / held.density, Kind.VOLUME)} ({amount})"
        words.append(
            f"By that panel, add {amount} of {held.product}, half of what may be missing; then "
            "plate another panel."
        )
    return words
