"""Cautions for whatever is being done at the bench, not only for plating.

An activity with what is handled, how strong and how warm raises conditions; rows of
data/cautions.toml that name both the condition and the activity are read before it. Strengths are
mass fractions in the bottle or bath that a person handles, the highest that is met.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import isfinite
from types import MappingProxyType

from tankside.base.errors import BadInput
from tankside.safety.cautions import ALL, WARM_FROM_K, Caution, all_cautions
from tankside.substances import substance


class Activity(StrEnum):
    """What is being done."""

    MIXING = "mixing"
    PLATING = "plating"
    TITRATING = "titrating"
    NEUTRALISING = "neutralising"
    RETIRING = "retiring"
    PAINTING = "painting"
    SEALING = "sealing"
    STORING = "storing"


class Coat(StrEnum):
    """What a conductive or sealing coat is filled with or made of."""

    GRAPHITE = "graphite"
    COPPER = "copper"
    SILVER = "silver"
    NICKEL = "nickel"
    LACQUER = "lacquer"
    RESIN = "resin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """What is about to be done.

    handled          mass fraction [-] of each substance as it is met, by any of its names
    temperature      [K]
    coats            paints and sealers in use
    with_solvent     whether their carrier is a solvent rather than water
    sprayed          whether they are sprayed
    """

    activity: Activity
    handled: Mapping[str, float] = field(default_factory=dict)
    temperature: float = 293.15
    air_agitation: bool = False
    coats: tuple[Coat, ...] = ()
    with_solvent: bool = False
    sprayed: bool = False

    def __post_init__(self) -> None:
        named = {substance(name).name: fraction for name, fraction in self.handled.items()}
        for name, fraction in named.items():
            if not (isfinite(fraction) and 0.0 <= fraction <= 1.0):
                raise BadInput(
                    "the mass fraction of {name} lies between 0 and 1, not {fraction}",
                    name=name,
                    fraction=fraction,
                )
        object.__setattr__(self, "handled", MappingProxyType(named))


def cautions_while(doing: Doing) -> tuple[Caution, ...]:
    """The cautions to read before doing it, in their order."""
    raised = _raised(doing)
    return tuple(
        caution
        for caution in all_cautions()
        if caution.when in raised
        and (doing.activity.value in caution.activities or ALL in caution.activities)
    )


def _raised(doing: Doing) -> set[str]:
    acid = doing.handled.get("sulfuric acid", 0.0)
    peroxide = doing.handled.get("hydrogen peroxide", 0.0)
    acetic = doing.handled.get("acetic acid", 0.0)
    raised = {
        "always": True,
        "strong acid": acid >= STRONG_ACID,
        "mild acid": 0.0 < acid < STRONG_ACID,
        "strong stock acid": acid >= STOCK_ACID,
        "air agitation": doing.air_agitation,
        "warm bath": doing.temperature >= WARM_FROM_K,
        "hydrochloric acid": _any(doing, "hydrochloric acid"),
        "peroxide": peroxide >= 0.08,
        "peroxide with copper": peroxide > 0.0 and _any(doing, *_COPPERS),
        "peroxide with acetic acid": peroxide > 0.0 and acetic > 0.0,
        "ammonia": _any(doing, "ammonia"),
        "hydroxide": _any(doing, "sodium hydroxide"),
        "lime": _any(doing, "calcium hydroxide"),
        "copper salt": _any(doing, *_COPPER_SALTS),
        "carbonate": _any(doing, *_CARBONATES),
        "strong base": _any(doing, "sodium hydroxide", "calcium hydroxide"),
        "silver nitrate": _any(doing, "silver nitrate"),
        "iodide": _any(doing, "potassium iodide", "iodine"),
        "thiosulfate": _any(doing, "sodium thiosulfate pentahydrate", "sodium thiosulfate"),
        "nickel": Coat.NICKEL in doing.coats,
        "metal paint": bool({Coat.COPPER, Coat.SILVER, Coat.NICKEL} & set(doing.coats)),
        "resin": Coat.RESIN in doing.coats,
        "solvent": doing.with_solvent or _any(doing, "acetone", "isopropyl alcohol"),
        "spray": doing.sprayed,
        "rich copper": doing.handled.get("copper sulfate pentahydrate", 0.0) >= RICH_COPPER,
    }
    return {name for name, applies in raised.items() if applies}


STRONG_ACID = 0.13
"""Mass fraction of sulfuric acid from which the caution of severe burns is read [-]: a little below
the 15 % of CLP's Annex VI, as for baths in cautions.py."""

STOCK_ACID = 0.30
"""Mass fraction from which sulfuric acid heats hard on dilution [-]: battery acid and above, our
choice."""

RICH_COPPER = 0.15
"""Mass fraction of the pentahydrate from which a bath may drop crystals in a cold room [-]: our
choice, about 175 g/L."""

_COPPERS = ("copper", "copper oxide", "copper sulfate pentahydrate", "basic copper carbonate")
_COPPER_SALTS = (
    "copper oxide",
    "copper sulfate pentahydrate",
    "copper sulfate",
    "basic copper carbonate",
    "copper acetate monohydrate",
)
_CARBONATES = (
    "sodium carbonate",
    "sodium carbonate decahydrate",
    "sodium bicarbonate",
    "calcium carbonate",
    "basic copper carbonate",
)

FURTHER_CONDITIONS = frozenset(
    {
        "strong stock acid",
        "hydrochloric acid",
        "peroxide",
        "peroxide with copper",
        "peroxide with acetic acid",
        "ammonia",
        "hydroxide",
        "lime",
        "copper salt",
        "carbonate",
        "strong base",
        "silver nitrate",
        "iodide",
        "thiosulfate",
        "nickel",
        "metal paint",
        "resin",
        "solvent",
        "spray",
        "rich copper",
    }
)
"""Conditions beyond those of cautions.py that a row may name."""


def _any(doing: Doing, *names: str) -> bool:
    return any(doing.handled.get(name, 0.0) > 0.0 for name in names)
