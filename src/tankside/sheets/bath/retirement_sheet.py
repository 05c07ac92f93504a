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
from tankside.sheets.wording import for_its_reader, marked, reader_units, span, spoken, worded


def retirement_sheet(leaving: Leaving, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(retirement_words(leaving, how), how)


@for_its_reader
def retirement_words(leaving: Leaving, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    bath, done = leaving.bath, leaving.done
    return answer_words(
        worded("To retire: {name}", name=how.title),
        worded(
            "{volume} of copper bath, with {base}",
            volume=ranged(bath.volume, Kind.VOLUME),
            base=spoken(done.base.words),
        ),
        warnings=[spoken(one) for one in leaving.cautions],
        parts=[
            part(worded("What it holds"), rows=_held(bath)),
            _copper_first(leaving.plated, leaving.cemented),
            part(
                worded("What neutralising it takes, for those who may"),
                rows=_neutralised(done),
                lines=[*_portions(leaving.portions), *(sentence(one) for one in done.notes)],
            ),
            part(
                worded("To tell whoever takes it"), lines=[sentence(one) for one in leaving.told_on]
            ),
        ],
        written=(worded("Asked at"), worded("on"), worded("Answer"), worded("by")),
        sources=done.sources,
    )


def handover_sheet(leaving: Leaving, how: SheetRequest) -> bytes:
    """The sheet that goes along with the canisters, as a PDF."""
    return answer_sheet(handover_words(leaving, how), how)


@for_its_reader
def handover_words(leaving: Leaving, how: SheetRequest) -> Words:
    """Every word and number of the hand-over."""
    return answer_words(
        worded("Handed over: {name}", name=how.title),
        worded(
            "Copper waste, for the hazardous-waste collection or a licensed firm; never for a drain"
        ),
        warnings=[sentence(one) for one in leaving.told_on],
        warnings_heading=worded("What this is"),
        parts=[part(worded("What it holds, nine times in ten"), rows=_held(leaving.bath))],
        written=(
            worded("Handed over by"),
            worded("on"),
            worded("Canisters"),
            worded("Labels checked"),
            worded("Taken by"),
            worded("Signed"),
        ),
    )


def _held(bath: Holding) -> list[list[str]]:
    rows = [
        [worded("volume"), ranged(bath.volume, Kind.VOLUME)],
        [worded("mass"), ranged(bath.mass, Kind.MASS)],
        [worded("copper"), ranged(bath.held_copper, Kind.MASS)],
        [worded("sulfuric acid"), ranged(bath.held_acid, Kind.MASS)],
    ]
    if bath.complexed:
        rows.append([worded("citrate, ammonia or EDTA"), worded("yes")])
    return rows


def _copper_first(plated: PlatedOut | None, cemented: Cemented | None) -> Words:
    if plated is not None:
        return part(
            worded("Plating the copper out first"),
            rows=[
                [worded("charge"), ranged(plated.charge, Kind.CHARGE)],
                [worded("copper left"), ranged(plated.copper_left, Kind.MASS)],
                [worded("acid that comes of it"), ranged(plated.acid_gained, Kind.MASS)],
            ],
            lines=[sentence(one) for one in plated.notes],
        )
    if cemented is not None:
        return part(
            worded("Dropping the copper on steel wool first"),
            rows=[
                [worded("clean steel wool"), ranged(cemented.iron, Kind.MASS)],
                [worded("copper left"), ranged(cemented.copper_left, Kind.MASS)],
            ],
            lines=[
                *(sentence(one) for one in cemented.notes),
                worded(
                    "The numbers below are those without it: iron takes base and falls as sludge "
                    "in copper's place."
                ),
            ],
        )
    return part("")


def _neutralised(done: Retirement) -> list[list[str]]:
    gas = done.carbon_dioxide
    return [
        [
            worded("{base}, for the acid", base=spoken(done.base.words)),
            ranged(done.base_for_acid, Kind.MASS),
        ],
        [worded("the same, for the copper"), ranged(done.base_for_copper, Kind.MASS)],
        [worded("in all"), ranged(done.base_in_all, Kind.MASS)],
        [
            worded("carbon dioxide given off"),
            ranged(gas, Kind.VOLUME) if gas.high > 0.0 else worded("none"),
        ],
        [worded("heat"), f"{_kilojoules(done.heat)} kJ"],
        [worded("warms by, at most"), _degrees(done.temperature_rise)],
        [worded("sludge, dry"), ranged(done.sludge_dry, Kind.MASS)],
        [worded("sludge, settled"), ranged(done.sludge_settled, Kind.MASS)],
        [worded("sludge, filtered"), ranged(done.sludge_filtered, Kind.MASS)],
        [
            worded("pH in which copper falls"),
            span(marked(f"{done.window.low:g}"), marked(f"{done.window.high:g}")),
        ],
    ]


def _kilojoules(heat: Interval) -> str:
    low, high = (f"{in_unit(end, 'kJ'):.0f}" for end in (heat.low, heat.high))
    return worded("{low} to {high}", low=low, high=high)


def _degrees(rise: Interval) -> str:
    """A difference of temperatures: 1 K is 1.8 degrees Fahrenheit."""
    factor, sign = (1.8, "°F") if reader_units() is UnitSystem.US else (1.0, "K")
    low, high = (f"{factor * end:.0f}" for end in (rise.low, rise.high))
    return f"{worded('{low} to {high}', low=low, high=high)} {sign}"


def _portions(count: int | None) -> list[str]:
    if count is None:
        return []
    if count > 1:
        return [
            worded(
                "In that vessel the base goes in in {count} portions or more, each when the foam "
                "of the one before has gone.",
                count=count,
            )
        ]
    return [worded("In that vessel the foam of all of it finds room; add it slowly all the same.")]
