"""The rinsing sheet: what a part carries out, how rinses thin it, and where their water goes."""

from collections.abc import Sequence

from tankside.base.units import Kind, UnitSystem, told
from tankside.bath.rinsing import DragOut
from tankside.sheets.bath.answer_sheet import (
    Words,
    answer_sheet,
    answer_words,
    part,
    percent,
    ranged,
)
from tankside.sheets.typeset import Paper

NEVER_A_DRAIN = (
    "Rinse water is copper waste: it goes back into the bath or is handed over, never down a drain."
)


def rinsing_sheet(
    carried: DragOut,
    *,
    title: str,
    film: str,
    ratio: float,
    running: Sequence[float],
    still: Sequence[float],
    parts: int,
    parts_until: int | None,
    returned: float | None,
    prepared: str,
    paper: Paper = "a4",
    units: UnitSystem = UnitSystem.METRIC,
) -> bytes:
    """The sheet as a PDF: see rinsing_words."""
    return answer_sheet(
        rinsing_words(
            carried,
            title=title,
            film=film,
            ratio=ratio,
            running=running,
            still=still,
            parts=parts,
            parts_until=parts_until,
            returned=returned,
            prepared=prepared,
            paper=paper,
            units=units,
        )
    )


def rinsing_words(
    carried: DragOut,
    *,
    title: str,
    film: str,
    ratio: float,
    running: Sequence[float],
    still: Sequence[float],
    parts: int,
    parts_until: int | None,
    returned: float | None,
    prepared: str,
    paper: Paper,
    units: UnitSystem,
) -> Words:
    """Every word and number of the sheet. `running` is water a part [m³] for one, two, ... stages
    against the flow of parts; `still` the share of the bath that each still rinse is at after so
    many `parts`; `returned` the share of the drag-out that comes back with the first rinse."""
    lines = []
    if parts_until is not None:
        lines.append(f"The last is thin enough for {parts_until} parts; then make it anew.")
    if returned is not None:
        lines.append(
            f"Topping the bath up with the first rinse brings back {percent(returned)} of what "
            "went out."
        )
    return answer_words(
        f"Rinses: {title}",
        f"A part that drains as: {film}; the last rinse {ratio:.0f} times thinner than the bath",
        warnings=[
            NEVER_A_DRAIN,
            "Gloves and goggles: the first rinse is thin bath, and bites eyes as bath does.",
        ],
        parts=[
            part(
                "What goes out with a part",
                rows=[
                    ["bath", ranged(carried.volume, Kind.VOLUME, units)],
                    ["copper", ranged(carried.copper_carried, Kind.MASS, units)],
                    ["sulfuric acid", ranged(carried.acid_carried, Kind.MASS, units)],
                ],
            ),
            part(
                f"Rinses that stand, after {parts} part{'' if parts == 1 else 's'}",
                rows=[
                    [f"rinse {number}", f"{100 * share:.3g} % of the bath"]
                    for number, share in enumerate(still, start=1)
                ],
                lines=lines,
            ),
            part(
                "Rinses that run, against the flow of parts",
                rows=[
                    [f"{number} in a row", f"{told(water, Kind.VOLUME, units, 2)} of water a part"]
                    for number, water in enumerate(running, start=1)
                ],
            ),
        ],
        prepared=prepared,
        paper=paper,
        written=("Rinse 1 made on", "after parts", "Rinse 2 made on", "after parts"),
        sources=("graham1971", "yates1991"),
    )
