"""What the ledger follows, and what a kilogram of a product does to it.

Followed are five masses: copper as metal, free sulfuric acid (half the hydrogen ions, as a
titration with base finds it), chloride, additive as product, and water, crystal water with it. A
product's effect is counted in ions, so that copper oxide raises copper and eats acid.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.constants import COPPER_MOLAR_MASS_KG_PER_MOL
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.ions import dissolves, ions, ions_of
from tankside.bath.mixture import portion
from tankside.substances import substance
from tankside.substances.products import Product

FOLLOWED = ("copper", "sulfuric_acid", "chloride", "additive", "water")
"""The masses of the state, in this order [kg]."""

COPPER, ACID, CHLORIDE, ADDITIVE, WATER = range(5)

ACID_PER_COPPER = substance("sulfuric acid").molar_mass / COPPER_MOLAR_MASS_KG_PER_MOL
"""Acid eaten by copper that dissolves without plating out, mole for mole [kg kg⁻¹]."""

WATER_PER_COPPER = substance("water").molar_mass / COPPER_MOLAR_MASS_KG_PER_MOL
"""Water born beside it: Cu + ½ O₂ + H₂SO₄ → CuSO₄ + H₂O [kg kg⁻¹]."""

SALT_PER_COPPER = substance("copper sulfate").molar_mass / COPPER_MOLAR_MASS_KG_PER_MOL
"""Anhydrous copper sulfate that holds a mass of copper [kg kg⁻¹]."""


_BESIDE = ("water", "insoluble matter")
"""Contents that say nothing of a product's strength."""

_TRACE = 0.1
"""Contents under this share of the largest are traces [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What a kilogram of product adds to the followed masses [kg kg⁻¹].

    best           by the best values of its label, without the chloride impurity
    strength       change of `best` by the relative error of its strength, per unit
    strength_std   standard deviation of that relative error [-]
    chloride, chloride_std   impurity [kg kg⁻¹]
    """

    best: Floats
    strength: Floats
    strength_std: float
    chloride: float
    chloride_std: float


def effect(product: Product, *, additive: bool = False, least_error: float = 0.0) -> Effect:
    """The effect of a kilogram of `product`; `least_error` bounds its strength's relative error.

    BadInput where the product holds a substance that the bath's chemistry does not know, unless it
    is an additive or says "insoluble matter".
    """
    for content in product.contents:
        known = dissolves(content.substance) or content.substance in ("insoluble matter", "water")
        if not known and not additive:
            raise BadInput(
                "{product!r} holds {substance}, which the ledger cannot follow in a sulfate bath; "
                "enter it as an additive, or leave it out of the bath",
                product=product.name,
                substance=content.substance,
            )
    moles = ions_of(portion(product, 1.0).masses)
    best = np.zeros(5)
    best[COPPER] = moles["copper ion"] * COPPER_MOLAR_MASS_KG_PER_MOL
    best[ACID] = 0.5 * moles["hydrogen ion"] * substance("sulfuric acid").molar_mass
    best[CHLORIDE] = moles["chloride"] * ions()["chloride"].molar_mass - product.chloride.best
    best[ADDITIVE] = 1.0 if additive else 0.0
    best[WATER] = moles["water"] * substance("water").molar_mass
    change = best.copy()
    change[ADDITIVE] = 0.0
    change[WATER] = -(SALT_PER_COPPER * change[COPPER] + change[ACID])  # it makes room
    return Effect(
        best=frozen_floats(best),
        strength=frozen_floats(change),
        strength_std=_strength_std(product, least_error) if change.any() else 0.0,
        chloride=product.chloride.best,
        chloride_std=_std(product.chloride),
    )


def _strength_std(product: Product, least_error: float) -> float:
    """Relative standard deviation of a product's strength: that of the least certain of the
    contents that make it up, not of traces or of what does not dissolve."""
    stated = [c.mass_fraction for c in product.contents if c.substance not in _BESIDE]
    most = max((share.best for share in stated), default=0.0)
    main = [share for share in stated if share.best > _TRACE * most]
    return max([least_error, *(_std(share) / share.best for share in main)])


def _std(interval: Interval) -> float:
    return interval.deviation
