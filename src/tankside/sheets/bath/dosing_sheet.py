"""The dosing sheet: the option to take, step by step with what was really done to write beside it,
what comes of it, and the other options."""

from tankside.app.bath_sheet_port import Doses
from tankside.app.ports import SheetRequest
from tankside.base.units import Kind, shown
from tankside.bath.dosing.dosing import Option
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
from tankside.sheets.wording import amount, for_its_reader

_NAMES = {
    "copper": "copper",
    "sulfuric_acid": "sulfuric acid",
    "chloride": "chloride",
    "volume": "volume",
}


def dosing_sheet(doses: Doses, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(dosing_words(doses, how), how)


@for_its_reader
def dosing_words(doses: Doses, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    first, *others = doses.advice.options
    return answer_words(
        f"Dosing sheet: {how.title}",
        f"For the bath of {day(doses.at)}; all inside with {percent(first.probability)} after it, "
        f"{percent(doses.asked)} were asked for",
        warnings=doses.cautions,
        parts=[
            part(
                "In this order",
                steps=_steps(first, doses),
                lines=[] if first.actions else ["Nothing is done."],
            ),
            part(
                "What comes of it, nine times in ten",
                rows=[
                    [
                        _NAMES.get(name, name),
                        ranged(value, _kind(name)),
                        f"{percent(first.probabilities[name])} inside",
                    ]
                    for name, value in first.ends.items()
                ],
                lines=[_cost(first)],
            ),
            part("Other ways", lines=[_other(one, doses) for one in others]),
            part("To know", lines=[sentence(one) for one in (*doses.advice.notes, *doses.notes)]),
        ],
        written=("Done by", "Date and time"),
    )


def _kind(name: str) -> Kind:
    return Kind.VOLUME if name == "volume" else Kind.MASS_CONCENTRATION


def _steps(option: Option, doses: Doses) -> list[Words]:
    """The actions, the option's cautions before the first."""
    steps = [{"text": one, "cautions": []} for one in _actions(option, doses)]
    if steps:
        steps[0] = {**steps[0], "cautions": [sentence(one) for one in option.cautions]}
    return steps


def _actions(option: Option, doses: Doses) -> list[str]:
    found = []
    for action in option.actions:
        if isinstance(action, Add):
            much = _read_to(action, doses.scales[action.product])
            found.append(f"Add {much} of {action.product}, by {doses.tools[action.product]}.")
        else:
            volume = amount(action.volume, Kind.VOLUME, 4)
            found.append(f"Take out {volume} of bath, into a labelled canister; keep it.")
    return found


def _read_to(action: Add, unit: str) -> str:
    """What a tool is read to, in its own unit, or in the reader's where that is none of every
    day."""
    by_volume = action.volume is not None
    value = action.mass if action.volume is None else action.volume
    try:
        return shown(value, unit, 4)
    except KeyError:
        return amount(value, Kind.VOLUME if by_volume else Kind.MASS, 4)


def _cost(option: Option) -> str:
    if not option.actions:
        return "It costs nothing."
    waste = ""
    if option.withdrawn > 0.0:
        waste = (
            f" {amount(option.withdrawn, Kind.VOLUME)} of bath are taken out: hazardous waste "
            "until it is used up, never for a drain."
        )
    if option.cost is None:
        return f"What it costs is not known, as a price is missing.{waste}"
    return f"It costs {option.cost:.2f} {option.currency}.".replace(" .", ".") + waste


def _other(option: Option, doses: Doses) -> str:
    done = " ".join(_actions(option, doses)) or "Nothing is done."
    return f"{sentence(option.words)} {done} All inside with {percent(option.probability)}."
