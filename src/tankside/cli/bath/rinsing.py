"""tankside bath rinse: what a part carries out, and how rinses thin it."""

import argparse
from typing import TYPE_CHECKING

from tankside.base.units import shown
from tankside.cli.bath.pages import Page, percent, print_json, spread

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def rinse(options: argparse.Namespace, tools: "Tools") -> int:
    """Reckons and prints."""
    from tankside.app.bath.rinse_a_part import RinseRequest, rinse_a_part

    reply = rinse_a_part(
        RinseRequest(
            area=options.area,
            copper=options.copper,
            acid=options.acid,
            film=options.film,
            stages=options.stages,
            still=options.still,
            parts=options.parts,
            goal=options.goal,
            evaporated=options.evaporated,
        )
    )
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_a_rinse
        from tankside.cli.bath.printing import printed

        title = f"a part of {options.area}"
        printed(options, tools, lambda how, sheets: print_a_rinse(reply, title, how, sheets))
    if options.json:
        print_json(reply.as_json())
        return 0
    page = Page(f"A part of {options.area} that drains as: {reply.film_words}")
    page.points(
        "MIND",
        ["Rinse water is copper waste: it goes back into the bath or is handed over, never down a "
         "drain."],
        mark="!",
    )  # fmt: skip
    page.head("WHAT GOES OUT WITH IT")
    page.table(
        [
            ("", ""),
            ("Bath", spread(reply.carried.volume, "mL")),
            ("Copper", spread(reply.carried.copper_carried, "mg")),
            ("Sulfuric acid", spread(reply.carried.acid_carried, "mg")),
        ]
    )
    page.points(
        f"RUNNING RINSES, {reply.ratio:.0f} times thinner than the bath at the end",
        [
            f"{number} in a row, against the flow of parts: {shown(water, 'L', 2)} of water a part."
            for number, water in enumerate(reply.running, start=1)
        ],
    )
    page.points(
        f"STILL RINSES after {reply.parts} part{'' if reply.parts == 1 else 's'}",
        [
            f"Rinse {number} is at {100 * share:.3g} % of the bath."
            for number, share in enumerate(reply.still, start=1)
        ]
        + (
            []
            if reply.parts_until is None
            else [f"The last is thin enough for {reply.parts_until} parts; then make it anew."]
        ),
    )
    if reply.returned is not None:
        page.points(
            "BACK INTO THE BATH",
            [f"Topping up with the first rinse brings back {percent(reply.returned)} of what "
             "went out."],
        )  # fmt: skip
    page.printed()
    return 0
