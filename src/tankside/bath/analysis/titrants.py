"""Titrants: what they are, how strong one is now, and how it drifts in its bottle."""

import tomllib
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from math import inf, isfinite, sqrt

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.substances import molar_mass

MONTH_S = 30.44 * 86400.0
"""Mean length of a month [s]."""

MOST_DRIFT = 0.03
"""Uncertainty of strength, as a fraction, from which a titrant is to be set again: our choice."""

STRENGTH_RANGE = (1.0, 1e4)
"""Strengths that a titrant may have [mol m⁻³]: 0.001 to 10 mol/L."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TitrantKind:
    """What is known of a titrant whatever its strength; `drift` is a fraction per second."""

    name: str
    words: str
    formula: str
    usual_strength: float
    set_against: tuple[str, ...]
    keep: str
    cautions: tuple[str, ...]
    drift: Interval
    source: str

    def mass_for(self, volume: float, strength: float) -> float:
        """Solid [kg] that makes a volume [m³] of a strength [mol m⁻³]."""
        return strength * volume * molar_mass(self.formula)


@dataclass(frozen=True, slots=True, kw_only=True)
class Titrant:
    """A bottle of titrant: its kind, its strength [mol m⁻³] with deviation, what that rests on."""

    kind: TitrantKind
    strength: Measured
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        low, high = STRENGTH_RANGE
        if not low <= self.strength.value <= high:
            raise BadInput(
                "{kind} of {strength:.3g} mol/L is outside {low:g} to {high:g} mol/L; strength is "
                "in mol/m³ here",
                kind=self.kind.words,
                strength=self.strength.value / 1e3,
                low=low / 1e3,
                high=high / 1e3,
            )


def titrant_kind(name: str) -> TitrantKind:
    """The kind of this name; UnknownName offers close ones."""
    known = titrant_kinds()
    if name not in known:
        raise UnknownName("titrant", name, known)
    return known[name]


def bought(name: str, strength: float, tolerance: float) -> Titrant:
    """A bottle by its label: `strength` [mol m⁻³] within the fraction `tolerance` of itself."""
    if not 0.0 <= tolerance < 1.0:
        raise BadInput(
            "a label's tolerance is a fraction from 0 to 1, not {tolerance}", tolerance=tolerance
        )
    return Titrant(
        kind=titrant_kind(name),
        strength=Measured(value=strength, std=strength * tolerance / sqrt(3.0), freedom=inf),
        notes=(f"The {name} is as strong as its label says, within {100 * tolerance:.2g} %.",),
    )


def made_up(name: str, mass: Measured, volume: Measured, purity: Measured) -> Titrant:
    """A titrant weighed in [kg] and made up to a volume [m³], not set against anything; `purity` as
    a mass fraction. As good as the solid's label: lye and thiosulfate crystals change in air."""
    kind = titrant_kind(name)
    if not 0.0 < purity.value <= 1.0:
        raise BadInput(
            "a purity is a mass fraction above 0, up to 1, not {purity}", purity=purity.value
        )
    molar = molar_mass(kind.formula)
    found = propagated(
        lambda mass, volume, purity: mass * purity / (molar * volume),
        {"mass": mass, "volume": volume, "purity": purity},
    )
    note = (
        f"The {name} was weighed in and not set against a standard: its purity is believed. Set it "
        f"against {kind.set_against[0]} for an answer to lean on."
    )
    return Titrant(kind=kind, strength=found.measured, notes=(note,))


def aged(titrant: Titrant, age: float) -> Titrant:
    """The titrant after `age` [s] in its bottle: weaker on the average, and less sure."""
    if not (isfinite(age) and age >= 0.0):
        raise BadInput("an age is not negative, as {age} s", age=age)
    if age == 0.0:
        return titrant
    drift = titrant.kind.drift
    fraction = drift.best * age
    if fraction <= -0.5:
        raise BadInput(
            "{kind} {age:.0f} months old has no strength worth the name; make it fresh",
            kind=titrant.kind.words,
            age=age / MONTH_S,
        )
    spread = (drift.high - drift.low) * age / (2.0 * NINE_IN_TEN)
    old = titrant.strength
    value = old.value * (1.0 + fraction)
    relative = sqrt((old.std / old.value) ** 2 + spread**2)
    note = (
        f"The {titrant.kind.name} is {age / MONTH_S:.1f} months old: taken as "
        f"{100 * fraction:+.2g} % with {100 * spread:.2g} % of doubt."
    )
    if relative > MOST_DRIFT:
        note += f" Set it again against {titrant.kind.set_against[0]} before you trust it."
    strength = Measured(value=value, std=value * relative, freedom=old.freedom)
    return replace(titrant, strength=strength, notes=(*titrant.notes, note))


@cache
def titrant_kinds() -> dict[str, TitrantKind]:
    """All titrants of data/titrants.toml, by name."""
    text = (
        resources.files("tankside.bath.analysis").joinpath("data/titrants.toml").read_text("utf-8")
    )
    return {
        row["name"]: TitrantKind(
            name=row["name"],
            words=row["words"],
            formula=row["formula"],
            usual_strength=float(row["usual_molarity"]) * 1e3,
            set_against=tuple(row["set_against"]),
            keep=row["keep"],
            cautions=tuple(row["cautions"]),
            drift=Interval(
                row["drift_low"] / MONTH_S, row["drift_best"] / MONTH_S, row["drift_high"] / MONTH_S
            ),
            source=row["source"],
        )
        for row in tomllib.loads(text).values()
    }
