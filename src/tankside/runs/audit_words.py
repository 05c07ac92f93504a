"""What an audit found, in sentences: gain against charge, contradictions and their likeliest
reason, places that are thin."""

from typing import TYPE_CHECKING

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C

if TYPE_CHECKING:
    from tankside.runs.audit import Believed, Weighed

SURPRISING = 0.01
"""Chance below which a disagreement is not put down to chance: our judgement."""

WORDS = {
    "efficiency": "current that made hydrogen or leaked, instead of copper",
    "share": "copper that went to the wires, hooks and thieves instead of the part",
    "area": "an area that differs from the file's (texture, missing or extra coat)",
    "meter": "ampere-hours that were misread, or not counted in a gap",
    "density": "copper that is lighter than it should be (pores, or not dry)",
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
            f"The part gained {1e3 * weighed.mass_gain:.3g} g, {100 * ratio:.0f} % of the "
            f"{1e3 * planned:.3g} g that the charge should have laid on it."
        )
        most = weighed.charge * COPPER_PER_CHARGE_KG_PER_C * believed.meter.high
        if weighed.others_gain is not None:
            found.append(
                f"Wires and all else that hung there gained {1e3 * weighed.others_gain:.3g} g."
            )
        if weighed.mass_gain + (weighed.others_gain or 0.0) - weighed.scale > most:
            found.append(
                f"That is more copper than the charge can lay at all ({1e3 * most:.3g} g): the "
                "weights or the ampere-hours are wrong."
            )
    if chance < SURPRISING:
        name, share = explanations[0]
        found.append(
            "Scale, ampere-hours and callipers contradict what was believed: by chance that "
            f"happens in fewer than 1 of {_one_in(chance)} runs. {100 * share:.0f} % of the "
            f"difference is "
            f"best explained by {WORDS[name]}. Weigh again, dry, before believing it."
        )
    thin = [
        point
        for point in weighed.points
        if point.thickness + point.resolution < 0.5 * point.planned
    ]
    found += [
        f"At {point.place} there are {1e6 * point.thickness:.0f} µm where "
        f"{1e6 * point.planned:.0f} µm were planned."
        for point in thin
    ]
    return found


def _one_in(chance: float) -> int:
    """A round number of runs of which fewer than one would look so by chance."""
    return next((count for count in (1000, 500, 200) if chance < 1 / count), 100)
