"""The sheets of a bath's end: what retiring it takes, and what goes along to whoever takes it.

The numbers say how much, not that one may; cautions come first, and nothing goes down a drain.
"""

from tankside.app.bath_sheet_port import Leaving
from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.units import Kind, UnitSystem, in_unit
from tankside.bath.copper_removal import Cemented, PlatedOut
from tankside.bath.retirement import Holding, Retirement
from tankside.sheets.bath.answer_sheet import (
    Words,
    answer_sheet,
    answer_words,
    part,
    ranged,
    sentence,
)
from tankside.sheets.wording import for_its_reader, reader_units


def retirement_sheet(leaving: Leaving, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(retirement_words(leaving, how), how)


@for_its_reader
def retirement_words(leaving: Leaving, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    bath, done = leaving.bath, leaving.done
    return answer_words(
        f"To retire: {how.title}",
        f"{ranged(bath.volume, Kind.VOLUME)} of copper bath, with {done.base.words}",
        warnings=leaving.cautions,
        parts=[
            part("What it holds", rows=_held(bath)),
            _copper_first(leaving.plated, leaving.cemented),
            part(
                "What neutralising it takes, for those who may",
                rows=_neutralised(done),
                lines=[*_portions(leaving.portions), *(sentence(one) for one in done.notes)],
            ),
            part("To tell whoever takes it", lines=[sentence(one) for one in leaving.told_on]),
        ],
        written=("Asked at", "on", "Answer", "by"),
        sources=done.sources,
    )


def handover_sheet(leaving: Leaving, how: SheetRequest) -> bytes:
    """The sheet that goes along with the canisters, as a PDF."""
    return answer_sheet(handover_words(leaving, how), how)


@for_its_reader
def handover_words(leaving: Leaving, how: SheetRequest) -> Words:
    """Every word and number of the hand-over."""
    return answer_words(
        f"Handed over: {how.title}",
        "Copper waste, for the hazardous-waste collection or a licensed firm; never for a drain",
        warnings=[sentence(one) for one in leaving.told_on],
        warnings_heading="What this is",
        parts=[part("What it holds, nine times in ten", rows=_held(leaving.bath))],
        written=("Handed over by", "on", "Canisters", "Labels checked", "Taken by", "Signed"),
    )


def _held(bath: Holding) -> list[list[str]]:
    rows = [
        ["volume", ranged(bath.volume, Kind.VOLUME)],
        ["mass", ranged(bath.mass, Kind.MASS)],
        ["copper", ranged(bath.held_copper, Kind.MASS)],
        ["sulfuric acid", ranged(bath.held_acid, Kind.MASS)],
    ]
    if bath.complexed:
        rows.append(["citrate, ammonia or EDTA", "yes"])
    return rows


def _copper_first(plated: PlatedOut | None, cemented: Cemented | None) -> Words:
    if plated is not None:
        return part(
            "Plating the copper out first",
            rows=[
                ["charge", ranged(plated.charge, Kind.CHARGE)],
                ["copper left", ranged(plated.copper_left, Kind.MASS)],
                ["acid that comes of it", ranged(plated.acid_gained, Kind.MASS)],
            ],
            lines=[sentence(one) for one in plated.notes],
        )
    if cemented is not None:
        return part(
            "Dropping the copper on steel wool first",
            rows=[
                ["clean steel wool", ranged(cemented.iron, Kind.MASS)],
                ["copper left", ranged(cemented.copper_left, Kind.MASS)],
            ],
            lines=[
                *(sentence(one) for one in cemented.notes),
                "The numbers below are those without it: iron takes base and falls as sludge in "
                "copper's place.",
            ],
        )
    return part("")


def _neutralised(done: Retirement) -> list[list[str]]:
    gas = done.carbon_dioxide
    return [
        [f"{done.base.words}, for the acid", ranged(done.base_for_acid, Kind.MASS)],
        ["the same, for the copper", ranged(done.base_for_copper, Kind.MASS)],
        ["in all", ranged(done.base_in_all, Kind.MASS)],
        [
            "carbon dioxide given off",
            ranged(gas, Kind.VOLUME) if gas.high > 0.0 else "none",
        ],
        ["heat", f"{_kilojoules(done.heat)} kJ"],
        ["warms by, at most", _degrees(done.temperature_rise)],
        ["sludge, dry", ranged(done.sludge_dry, Kind.MASS)],
        ["sludge, settled", ranged(done.sludge_settled, Kind.MASS)],
        ["sludge, filtered", ranged(done.sludge_filtered, Kind.MASS)],
        ["pH in which copper falls", f"{done.window.low:g} to {done.window.high:g}"],
    ]


def _kilojoules(heat: Interval) -> str:
    return f"{in_unit(heat.low, 'kJ'):.0f} to {in_unit(heat.high, 'kJ'):.0f}"


def _degrees(rise: Interval) -> str:
    """A difference of temperatures: 1 K is 1.8 degrees Fahrenheit."""
    factor, sign = (1.8, "°F") if reader_units() is UnitSystem.US else (1.0, "K")
    return f"{factor * rise.low:.0f} to {factor * rise.high:.0f} {sign}"


def _portions(count: int | None) -> list[str]:
    if count is None:
        return []
    if count > 1:
        return [
            f"In that vessel the base goes in in {count} portions or more, each when the foam of "
            "the one before has gone."
        ]
    return ["In that vessel the foam of all of it finds room; add it slowly all the same."]
