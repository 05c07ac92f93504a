"""The dosing sheet: the option to take, step by step with what was really done to write beside it,
what comes of it, and the other options."""

from tankside.app.bath_sheet_port import Doses
from tankside.app.ports import SheetRequest
from tankside.base.units import Kind
from tankside.bath.dosing.dosing import Option
from tankside.bath.dosing.outcome import Add
from tankside.sheets.bath.answer_sheet import (
    Words,
    answer_sheet,
    answer_words,
    part,
    percent,
    quantity_name,
    ranged,
    sentence,
)
from tankside.sheets.bath.picture_course import day
from tankside.sheets.wording import amount, for_its_reader, money, reading, spoken, worded


def dosing_sheet(doses: Doses, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return answer_sheet(dosing_words(doses, how), how)


@for_its_reader
def dosing_words(doses: Doses, how: SheetRequest) -> Words:
    """Every word and number of the sheet."""
    first, *others = doses.advice.options
    return answer_words(
        worded("Dosing sheet: {name}", name=how.title),
        worded(
            "For the bath of {day}; all inside with {chance} after it, {asked} were asked for",
            day=day(doses.at),
            chance=percent(first.probability),
            asked=percent(doses.asked),
        ),
        warnings=[spoken(one) for one in doses.cautions],
        parts=[
            part(
                worded("In this order"),
                steps=_steps(first, doses),
                lines=[] if first.actions else [worded("Nothing is done.")],
            ),
            part(
                worded("What comes of it, nine times in ten"),
                rows=[
                    [
                        quantity_name(name),
                        ranged(value, _kind(name)),
                        worded("{chance} inside", chance=percent(first.probabilities[name])),
                    ]
                    for name, value in first.ends.items()
                ],
                lines=[_cost(first)],
            ),
            part(worded("Other ways"), lines=[_other(one, doses) for one in others]),
            part(
                worded("To know"),
                lines=[sentence(one) for one in (*doses.advice.notes, *doses.notes)],
            ),
        ],
        written=(worded("Done by"), worded("Date and time")),
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
            found.append(
                worded(
                    "Add {much} of {product}, by {tool}.",
                    much=much,
                    product=action.product,
                    tool=spoken(doses.tools[action.product]),
                )
            )
        else:
            volume = amount(action.volume, Kind.VOLUME, 4)
            found.append(
                worded(
                    "Take out {volume} of bath, into a labelled canister; keep it.", volume=volume
                )
            )
    return found


def _read_to(action: Add, unit: str) -> str:
    """What a tool is read to, in its own unit, or in the reader's where that is none of every
    day."""
    by_volume = action.volume is not None
    value = action.mass if action.volume is None else action.volume
    try:
        return reading(value, unit, 4)
    except KeyError:
        return amount(value, Kind.VOLUME if by_volume else Kind.MASS, 4)


def _cost(option: Option) -> str:
    if not option.actions:
        return worded("It costs nothing.")
    if option.cost is None:
        told = worded("What it costs is not known, as a price is missing.")
    else:
        told = worded("It costs {sum}.", sum=money(option.cost, option.currency))
    if option.withdrawn > 0.0:
        waste = worded(
            "{volume} of bath are taken out: hazardous waste until it is used up, never for a "
            "drain.",
            volume=amount(option.withdrawn, Kind.VOLUME),
        )
        return f"{told} {waste}"
    return told


def _other(option: Option, doses: Doses) -> str:
    done = " ".join(_actions(option, doses)) or worded("Nothing is done.")
    chance = worded("All inside with {chance}.", chance=percent(option.probability))
    return f"{sentence(option.words)} {done} {chance}"
