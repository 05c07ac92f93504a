"""The rinsing sheet: what a part carries out, how rinses thin it, and where their water goes."""

from tankside.app.bath_sheet_port import Rinses
from tankside.app.ports import SheetRequest
from tankside.base.units import Kind
from tankside.sheets.bath.answer_sheet import (
    Words,
    answer_sheet,
    answer_words,
    part,
    percent,
    ranged,
)
from tankside.sheets.wording import amount, for_its_reader

NEVER_A_DRAIN = (
    "Rinse water is copper waste: it goes back into the bath or is handed over, never down a drain."
)


def rinsing_sheet(rinses: Rinses, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(rinsing_words(rinses, how), how)


@for_its_reader
def rinsing_words(rinses: Rinses, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    carried, parts = rinses.carried, rinses.parts
    lines = []
    if rinses.parts_until is not None:
        lines.append(f"The last is thin enough for {rinses.parts_until} parts; then make it anew.")
    if rinses.returned is not None:
        lines.append(
            "Topping the bath up with the first rinse brings back "
            f"{percent(rinses.returned)} of what went out."
        )
    return answer_words(
        f"Rinses: {how.title}",
        f"A part that drains as: {rinses.film}; the last rinse {rinses.ratio:.0f} times thinner "
        "than the bath",
        warnings=[
            NEVER_A_DRAIN,
            "Gloves and goggles: the first rinse is thin bath, and bites eyes as bath does.",
        ],
        parts=[
            part(
                "What goes out with a part",
                rows=[
                    ["bath", ranged(carried.volume, Kind.VOLUME)],
                    ["copper", ranged(carried.copper_carried, Kind.MASS)],
                    ["sulfuric acid", ranged(carried.acid_carried, Kind.MASS)],
                ],
            ),
            part(
                f"Rinses that stand, after {parts} part{'' if parts == 1 else 's'}",
                rows=[
                    [f"rinse {number}", f"{100 * share:.3g} % of the bath"]
                    for number, share in enumerate(rinses.still, start=1)
                ],
                lines=lines,
            ),
            part(
                "Rinses that run, against the flow of parts",
                rows=[
                    [f"{number} in a row", f"{amount(water, Kind.VOLUME, 2)} of water a part"]
                    for number, water in enumerate(rinses.running, start=1)
                ],
            ),
        ],
        written=("Rinse 1 made on", "after parts", "Rinse 2 made on", "after parts"),
        sources=("graham1971", "yates1991"),
    )
