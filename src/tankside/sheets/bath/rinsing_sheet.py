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
from tankside.sheets.wording import amount, for_its_reader, marked, spoken, worded, worded_of


def rinsing_sheet(rinses: Rinses, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(rinsing_words(rinses, how), how)


@for_its_reader
def rinsing_words(rinses: Rinses, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    carried, parts = rinses.carried, rinses.parts
    lines = []
    if rinses.parts_until is not None:
        lines.append(
            worded_of(
                "The last is thin enough for {count} part; then make it anew.",
                "The last is thin enough for {count} parts; then make it anew.",
                count=rinses.parts_until,
            )
        )
    if rinses.returned is not None:
        lines.append(
            worded(
                "Topping the bath up with the first rinse brings back {share} of what went out.",
                share=percent(rinses.returned),
            )
        )
    return answer_words(
        worded("Rinses: {name}", name=how.title),
        worded(
            "A part that drains as: {film}; the last rinse {times} times thinner than the bath",
            film=spoken(rinses.film),
            times=f"{rinses.ratio:.0f}",
        ),
        warnings=[
            worded(
                "Rinse water is copper waste: it goes back into the bath or is handed over, never "
                "down a drain."
            ),
            worded(
                "Gloves and goggles: the first rinse is thin bath, and bites eyes as bath does."
            ),
        ],
        parts=[
            part(
                worded("What goes out with a part"),
                rows=[
                    [worded("bath"), ranged(carried.volume, Kind.VOLUME)],
                    [worded("copper"), ranged(carried.copper_carried, Kind.MASS)],
                    [worded("sulfuric acid"), ranged(carried.acid_carried, Kind.MASS)],
                ],
            ),
            part(
                worded_of(
                    "Rinses that stand, after {count} part",
                    "Rinses that stand, after {count} parts",
                    count=parts,
                ),
                rows=[
                    [
                        worded("rinse {number}", number=number),
                        worded("{share} % of the bath", share=marked(f"{100 * share:.3g}")),
                    ]
                    for number, share in enumerate(rinses.still, start=1)
                ],
                lines=lines,
            ),
            part(
                worded("Rinses that run, against the flow of parts"),
                rows=[
                    [
                        worded("{number} in a row", number=number),
                        worded("{volume} of water a part", volume=amount(water, Kind.VOLUME, 2)),
                    ]
                    for number, water in enumerate(rinses.running, start=1)
                ],
            ),
        ],
        written=[
            words
            for number in (1, 2)
            for words in (worded("Rinse {number} made on", number=number), worded("after parts"))
        ],
        sources=("graham1971", "yates1991"),
    )
