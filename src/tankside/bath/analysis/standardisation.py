"""Setting a titrant against a weighed standard, which is what every answer then rests on.

    strength = mass · purity · equivalents / (M · V),   V = titre + scale + stop - blank

A standard is a row of data/standards.csv. Refuses a standard that does not react with the titrant,
and asks where the strength found is far from the label's.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import inf
from statistics import fmean

from tankside.base.errors import BadInput, UnknownName
from tankside.base.tables import table
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.propagation import Measured, Propagated, propagated
from tankside.bath.analysis.runs import Run, titre_of
from tankside.bath.analysis.titrants import Titrant, titrant_kind
from tankside.bath.analysis.titration import NOTHING
from tankside.substances import molar_mass

FAR_FROM_LABEL = 0.1
"""Fraction by which a found strength may differ from the label's without a question: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A primary standard for one titrant.

    equivalents   moles of titrant that a mole of it takes [-]
    purity        as a mass fraction
    """

    name: str
    formula: str
    titrant: str
    equivalents: float
    purity: Measured
    note: str
    source: str

    def mass_for(self, titre: float, strength: float) -> float:
        """Standard [kg] that takes a titre [m³] of a strength [mol m⁻³]."""
        moles = titre * strength / self.equivalents
        return moles * molar_mass(self.formula) / self.purity.value


def standardised(
    standard: Standard,
    mass: Measured | Sequence[Measured],
    runs: Sequence[Run],
    burette: Volumetric,
    *,
    blank: Measured = NOTHING,
    label: float | None = None,
    sure: bool = False,
) -> Titrant:
    """A titrant set by runs that each took the same mass [kg] of a standard, or each its own.

    Where `label` [mol m⁻³] is given and the strength found is far from it, BadInput asks, unless
    `sure`.
    """
    titre = titre_of(runs, burette)
    if not isinstance(mass, Measured):
        mass, even = _evened(mass, runs)
        titre = titre_of(even, burette, room=inf)
    inputs = {
        "mass": mass,
        "purity": standard.purity,
        "titre": titre.mean,
        "burette": titre.scale,
        "last drop": titre.stop,
        "blank": blank,
    }
    found = strength_of(standard, inputs)
    if label is not None and not sure:
        _refuse_far(found.value, label, standard)
    note = (
        f"The {standard.titrant} was set against {standard.name}: {found.value / 1e3:.5g} mol/L "
        f"give or take {100 * found.std / found.value:.2g} %."
    )
    return Titrant(
        kind=titrant_kind(standard.titrant),
        strength=found.measured,
        notes=(note, *titre.notes),
    )


def _evened(masses: Sequence[Measured], runs: Sequence[Run]) -> tuple[Measured, list[Run]]:
    """The mean mass, and the runs as they would have been with it; the scale's error is shared."""
    if len(masses) != len(runs):
        raise BadInput(
            "{count} runs need {count} masses, not {masses}", count=len(runs), masses=len(masses)
        )
    if min(one.value for one in masses) <= 0.0:
        raise BadInput("a standard's mass is above zero")
    mean = fmean(one.value for one in masses)
    even = [
        Run(end=(run.end - run.start) * mean / one.value)
        for run, one in zip(runs, masses, strict=True)
    ]
    return Measured(value=mean, std=max(one.std for one in masses)), even


def strength_of(standard: Standard, inputs: dict[str, Measured]) -> Propagated:
    """Strength [mol m⁻³] from mass [kg], purity, titre, burette, last drop and blank [m³]."""
    molar = molar_mass(standard.formula)

    def law(**read: float) -> float:
        volume = read["titre"] + read["burette"] + read["last drop"] - read["blank"]
        return read["mass"] * read["purity"] * standard.equivalents / (molar * volume)

    return propagated(law, inputs)


def standard(name: str, titrant: str) -> Standard:
    """The standard of this name for a titrant; UnknownName names those that react with it."""
    known = {row.name: row for row in standards() if row.titrant == titrant_kind(titrant).name}
    if name not in known:
        raise UnknownName(f"standard for {titrant}", name, known)
    return known[name]


@cache
def standards() -> tuple[Standard, ...]:
    """All rows of the table."""
    return tuple(
        Standard(
            name=row["name"],
            formula=row["formula"],
            titrant=row["titrant"],
            equivalents=float(row["equivalents"]),
            purity=Measured(value=float(row["purity"]), std=float(row["purity_std"])),
            note=row["note"],
            source=row["source"],
        )
        for row in table("tankside.bath.analysis", "standards.csv")
    )


def _refuse_far(found: float, label: float, standard: Standard) -> None:
    if abs(found / label - 1.0) > FAR_FROM_LABEL:
        raise BadInput(
            "the {titrant} comes out at {found:.3g} mol/L where its label says {label:.3g}; check "
            "the mass of {standard}, its formula and the readings, or say that you are sure",
            titrant=standard.titrant,
            found=found / 1e3,
            label=label / 1e3,
            standard=standard.name,
        )
