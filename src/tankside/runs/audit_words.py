"""What an audit found, in sentences: gain against charge, contradictions and their likeliest
reason, places that are thin."""

from typing import TYPE_CHECKING

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.messages import Quantity, said

if TYPE_CHECKING:
    from tankside.runs.audit import Believed, Weighed

SURPRISING = 0.01
"""Chance below which a disagreement is not put down to chance: our judgement."""

WORDS = {
    "efficiency": said("current that made hydrogen or leaked, instead of copper"),
    "share": said("copper that went to the wires, hooks and thieves instead of the part"),
    "area": said("an area that differs from the file's (texture, missing or extra coat)"),
    "meter": said("ampere-hours that were misread, or not counted in a gap"),
    "density": said("copper that is lighter than it should be (pores, or not dry)"),
}


def findings(
    weighed: "Weighed",
    believed: "Believed",
    chance: float,
    explanations: tuple[tuple[str, float], ...],
) -> list[str]:
    """What a person should know of an audit, a sentence each."""
    found = []
    planned = (
        weighed.charge * COPPER_PER_CHARGE_KG_PER_C * believed.efficiency.best * believed.share.best
    )
    if weighed.mass_gain is not None:
        ratio = weighed.mass_gain / planned
        found.append(
            said(
                "The part gained {mass_gain}, {ratio} % of the {planned} that the charge "
                "should have laid on it.",
                mass_gain=Quantity(weighed.mass_gain, "g"),
                ratio=f"{100 * ratio:.0f}",
                planned=Quantity(planned, "g"),
            )
        )
        most = weighed.charge * COPPER_PER_CHARGE_KG_PER_C * believed.meter.high
        if weighed.others_gain is not None:
            found.append(
                said(
                    "Wires and all else that hung there gained {others_gain}.",
                    others_gain=Quantity(weighed.others_gain, "g"),
                )
            )
        if weighed.mass_gain + (weighed.others_gain or 0.0) - weighed.scale > most:
            found.append(
                said(
                    "That is more copper than the charge can lay at all ({most}): the weights or "
                    "the ampere-hours are wrong.",
                    most=Quantity(most, "g"),
                )
            )
    if chance < SURPRISING:
        name, share = explanations[0]
        found.append(
            said(
                "Scale, ampere-hours and callipers contradict what was believed: by chance "
                "that happens in fewer than 1 of {one_in} runs. {share} % of the difference is "
                "best explained by {words}. Weigh again, dry, before believing it.",
                one_in=str(_one_in(chance)),
                share=f"{100 * share:.0f}",
                words=WORDS[name],
            )
        )
    thin = [
        point
        for point in weighed.points
        if point.thickness + point.resolution < 0.5 * point.planned
    ]
    found += [
        said(
            "At {place} there are {thickness} where {planned} were planned.",
            place=point.place,
            thickness=Quantity(point.thickness, "um", decimals=0),
            planned=Quantity(point.planned, "um", decimals=0),
        )
        for point in thin
    ]
    return found


def _one_in(chance: float) -> int:
    """A round number of runs of which fewer than one would look so by chance."""
    return next((count for count in (1000, 500, 200) if chance < 1 / count), 100)
