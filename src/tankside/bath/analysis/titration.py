"""A titration worked out: from burette readings to grams per litre with an interval.

    c = (V + scale + stop - blank + short) · strength · moles · M / sample · method

`scale`, `stop` and `method` have the value zero or one and carry a deviation only. `short` is what
the end point misses (see acid_end_point.py). What each titration is stands in data/titrations.toml.
Refuses readings that cannot be right, and asks where the answer looks like a slip.
"""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any

from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import Quantity, said
from tankside.base.wording import term
from tankside.bath.analysis.doubts import refuse_surprise
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.analysis.runs import Run, Titre, titre_of
from tankside.bath.analysis.samples import Sample
from tankside.bath.analysis.titrants import Titrant
from tankside.substances import molar_mass

NOTHING = Measured(value=0.0)
"""No volume, known exactly."""

SMALL_TITRE = 0.2
"""Share of the burette below which a titre is worth a word [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A reagent for one flask: volume [m³] or mass [kg], the other zero."""

    name: str
    volume: float
    mass: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Titration:
    """One procedure: what finds what, in which proportion, with which words.

    moles              of analyte per mole of titrant [-]
    method_std         one deviation of what glass and titrant do not explain [-]
    largest_sample     of bath in one flask [m³]
    families           kinds of bath that it holds for
    steps              sentences; those that begin with "!" are cautions
    """

    name: str
    words: str
    quantity: str
    analyte: str
    titrant: str
    moles: float
    method_std: float
    largest_sample: float
    families: tuple[str, ...]
    needs: tuple[Need, ...]
    steps: tuple[str, ...]
    interferes: tuple[str, ...]
    source: str

    @property
    def analyte_molar_mass(self) -> float:
        """Of what is found [kg mol⁻¹]."""
        return molar_mass(self.analyte)

    def titre_for(self, concentration: float, sample: float, strength: float) -> float:
        """Titrant [m³] that a concentration [kg m⁻³] in a sample [m³] will take."""
        return concentration * sample / (self.analyte_molar_mass * self.moles * strength)

    def concentration(self, titre: float, sample: float, strength: float) -> float:
        """Concentration [kg m⁻³] that a titre [m³] of a strength [mol m⁻³] means."""
        return titre * strength * self.moles * self.analyte_molar_mass / sample


def titrated(
    method: Titration,
    runs: Sequence[Run],
    *,
    titrant: Titrant,
    burette: Volumetric,
    sample: Sample,
    blank: Measured = NOTHING,
    short: Measured = NOTHING,
    expected: float | None = None,
    sure: bool = False,
) -> Finding:
    """What the runs found [kg m⁻³].

    `blank` is what a flask without bath takes [m³]; `short` what the end point misses [m³].
    Where `expected` [kg m⁻³] is given and the answer looks like a slip against it, BadInput asks,
    unless `sure`.
    """
    titre = titre_of(runs, burette)
    notes = _small(titre.mean.value, burette)
    return worked_out(
        method,
        replace(titre, notes=(*titre.notes, *notes)),
        titrant=titrant,
        burette=burette,
        sample=sample,
        blank=blank,
        short=short,
        expected=expected,
        sure=sure,
    )


def worked_out(
    method: Titration,
    titre: Titre,
    *,
    titrant: Titrant,
    burette: Volumetric,
    sample: Sample,
    blank: Measured = NOTHING,
    short: Measured = NOTHING,
    expected: float | None = None,
    sure: bool = False,
) -> Finding:
    """What a titre found [kg m⁻³], however its end was seen; keywords as for `titrated`."""
    _check(method, titrant, sample)
    if blank.value >= titre.mean.value:
        raise BadInput(
            "the blank takes as much titrant as the sample; check both, there is no bath"
        )
    inputs = {
        "titre": titre.mean,
        "burette": titre.scale,
        "last drop": titre.stop,
        "blank": blank,
        "end point": short,
        "titrant": titrant.strength,
        "sample": sample.volume,
        "method": Measured(value=1.0, std=method.method_std),
    }
    outcome = propagated(lambda **read: _answer(method, read), inputs)
    if expected is not None and not sure:
        refuse_surprise(outcome.value, expected, method.quantity)
    return finding(
        method.quantity,
        outcome,
        method=method.words,
        notes=(*titre.notes, *titrant.notes),
        sources=_sources(method.source, titrant.kind.source, burette.source, "prohaska2022"),
    )


def _answer(method: Titration, read: dict[str, float]) -> float:
    volume = read["titre"] + read["burette"] + read["last drop"] - read["blank"] + read["end point"]
    return read["method"] * method.concentration(volume, read["sample"], read["titrant"])


def titration(name: str) -> Titration:
    """The procedure of this name; UnknownName offers close ones."""
    known = titrations()
    if name not in known:
        raise UnknownName("titration", name, known)
    return known[name]


def _check(method: Titration, titrant: Titrant, sample: Sample) -> None:
    if titrant.kind.name != method.titrant:
        raise BadInput(
            "{method} needs {titrant}, not {kind}; were two bottles swapped?",
            method=method.words,
            titrant=method.titrant,
            kind=titrant.kind.name,
        )
    if sample.volume.value > method.largest_sample * 1.0001:
        raise BadInput(
            "{volume} of bath is too much for one flask; take {largest_sample} at most",
            volume=Quantity(sample.volume.value, "mL", 6),
            largest_sample=Quantity(method.largest_sample, "mL", 6),
        )


def _sources(*keys: str) -> tuple[str, ...]:
    return tuple(sorted({key for key in keys if key}))


def _small(titre: float, burette: Volumetric) -> tuple[str, ...]:
    if titre >= SMALL_TITRE * burette.capacity:
        return ()
    return (
        said(
            "A titre of {titre} is little for a {burette}: its errors weigh more; take more bath "
            "or a weaker titrant.",
            titre=Quantity(titre, "mL", decimals=2),
            burette=term(burette.words),
        ),
    )


@cache
def titrations() -> dict[str, Titration]:
    """All procedures of data/titrations.toml, by name."""
    folder = resources.files("tankside.bath.analysis")
    text = folder.joinpath("data/titrations.toml").read_text("utf-8")
    return {name: _titration(name, row) for name, row in tomllib.loads(text).items()}


def _titration(name: str, row: dict[str, Any]) -> Titration:
    return Titration(
        name=name,
        words=row["words"],
        quantity=row["quantity"],
        analyte=row["analyte"],
        titrant=row["titrant"],
        moles=float(row["moles"]),
        method_std=float(row["method_std"]),
        largest_sample=float(row["largest_sample_mL"]) * 1e-6,
        families=tuple(row["families"]),
        needs=tuple(
            Need(
                name=need["name"],
                volume=need.get("amount_mL", 0.0) * 1e-6,
                mass=need.get("amount_g", 0.0) * 1e-3,
            )
            for need in row["needs"]
        ),
        steps=tuple(row["steps"]),
        interferes=tuple(row["interferes"]),
        source=row["source"],
    )
