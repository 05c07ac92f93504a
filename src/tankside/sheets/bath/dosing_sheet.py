"""The dosing sheet: the option to take, step by step with what was really done to write beside it,
what comes of it, and the other options."""

from collections.abc import Mapping, Sequence

from tankside.base.units import Kind, UnitSystem, shown, told
from tankside.bath.dosing.dosing import Advice, Option
from tankside.bath.dosing.outcome import Add
from tankside.sheets.bath.answer_sheet import (
    Words,
    answer_sheet,
    answer_words,
    part,
    percent,
    ranged,
    sentence,
)
from tankside.sheets.bath.picture_course import day
from tankside.sheets.typeset import Paper

_NAMES = {
    "copper": "copper",
    "sulfuric_acid": "sulfuric acid",
    "chloride": "chloride",
    "volume": "volume",
}


def dosing_sheet(
    advice: Advice,
    *,
    title: str,
    at: float,
    asked: float,
    tools: Mapping[str, str],
    scales: Mapping[str, str],
    cautions: Sequence[str],
    notes: Sequence[str],
    prepared: str,
    paper: Paper = "a4",
    units: UnitSystem = UnitSystem.METRIC,
) -> bytes:
    """The sheet as a PDF: see dosing_words."""
    return answer_sheet(
        dosing_words(
            advice,
            title=title,
            at=at,
            asked=asked,
            tools=tools,
            scales=scales,
            cautions=cautions,
            notes=notes,
            prepared=prepared,
            paper=paper,
            units=units,
        )
    )


def dosing_words(
    advice: Advice,
    *,
    title: str,
    at: float,
    asked: float,
    tools: Mapping[str, str],
    scales: Mapping[str, str],
    cautions: Sequence[str],
    notes: Sequence[str],
    prepared: str,
    paper: Paper,
    units: UnitSystem,
) -> Words:
    """Every word and number of the sheet. `at` is the moment that the bath is told for [s since
    1970], `asked` the chance of being inside that is wanted, `tools` what each product is measured
    with and `scales` those tools' own units."""
    first, *others = advice.options
    return answer_words(
        f"Dosing sheet: {title}",
        f"For the bath of {day(at)}; all inside with {percent(first.probability)} after it, "
        f"{percent(asked)} were asked for",
        warnings=cautions,
        parts=[
            part(
                "In this order",
                steps=_steps(first, tools, scales, units),
                lines=[] if first.actions else ["Nothing is done."],
            ),
            part(
                "What comes of it, nine times in ten",
                rows=[
                    [
                        _NAMES.get(name, name),
                        ranged(value, _kind(name), units),
                        f"{percent(first.probabilities[name])} inside",
                    ]
                    for name, value in first.ends.items()
                ],
                lines=[_cost(first, units)],
            ),
            part("Other ways", lines=[_other(one, tools, scales, units) for one in others]),
            part("To know", lines=[sentence(one) for one in (*advice.notes, *notes)]),
        ],
        prepared=prepared,
        paper=paper,
        written=("Done by", "Date and time"),
    )


def _kind(name: str) -> Kind:
    return Kind.VOLUME if name == "volume" else Kind.MASS_CONCENTRATION


def _steps(
    option: Option, tools: Mapping[str, str], scales: Mapping[str, str], units: UnitSystem
) -> list[Words]:
    """The actions, the option's cautions before the first."""
    steps = [{"text": one, "cautions": []} for one in _actions(option, tools, scales, units)]
    if steps:
        steps[0] = {**steps[0], "cautions": [sentence(one) for one in option.cautions]}
    return steps


def _actions(
    option: Option, tools: Mapping[str, str], scales: Mapping[str, str], units: UnitSystem
) -> list[str]:
    found = []
    for action in option.actions:
        if isinstance(action, Add):
            amount = _read_to(action, scales[action.product], units)
            found.append(f"Add {amount} of {action.product}, by {tools[action.product]}.")
        else:
            volume = told(action.volume, Kind.VOLUME, units, 4)
            found.append(f"Take out {volume} of bath, into a labelled canister; keep it.")
    return found


def _read_to(action: Add, unit: str, units: UnitSystem) -> str:
    """What a tool is read to, in its own unit, or in the reader's where that is none of every
    day."""
    by_volume = action.volume is not None
    value = action.mass if action.volume is None else action.volume
    try:
        return shown(value, unit, 4)
    except KeyError:
        return told(value, Kind.VOLUME if by_volume else Kind.MASS, units, 4)


def _cost(option: Option, units: UnitSystem) -> str:
    if not option.actions:
        return "It costs nothing."
    waste = ""
    if option.withdrawn > 0.0:
        waste = (
            f" {told(option.withdrawn, Kind.VOLUME, units)} of bath are taken out: hazardous waste "
            "until it is used up, never for a drain."
        )
    if option.cost is None:
        return f"What it costs is not known, as a price is missing.{waste}"
    return f"It costs {option.cost:.2f} {option.currency}.".replace(" .", ".") + waste


def _other(
    option: Option, tools: Mapping[str, str], scales: Mapping[str, str], units: UnitSystem
) -> str:
    done = " ".join(_actions(option, tools, scales, units)) or "Nothing is done."
    return f"{sentence(option.words)} {done} All inside with {percent(option.probability)}."
