"""What is dissolved in an acid copper bath, per volume of bath.

A bench weighs and measures per litre, the mixture laws want mass fractions, the cell wants molar
concentrations; this value gives all three. Volumes are those of the finished bath at its working
temperature (between 20 and 40 °C the difference is below 1 %).
"""

from dataclasses import dataclass, fields
from math import isfinite

from tankside.base.errors import BadInput, NotConverged
from tankside.bath.density import density
from tankside.substances import substance

_TOLERANCE = 1e-12
_MOST_ROUNDS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition:
    """Mass concentrations [kg m⁻³], which are the same numbers as g/L.

    copper_sulfate_pentahydrate   as weighed, with its crystal water
    sulfuric_acid                 pure H2SO4
    chloride                      Cl⁻ (50 mg/L is 0.05)
    """

    copper_sulfate_pentahydrate: float
    sulfuric_acid: float
    chloride: float = 0.0

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not (isfinite(value) and value >= 0.0):
                raise BadInput(
                    "{name} cannot be {value} g/L in a bath; give a number from zero upwards",
                    name=one.name.replace("_", " "),
                    value=value,
                    where=one.name,
                )

    @property
    def copper(self) -> float:
        """Copper metal [kg m⁻³]."""
        return self.copper_molarity * substance("copper").molar_mass

    @property
    def copper_molarity(self) -> float:
        """Cu²⁺ [mol m⁻³]."""
        salt = substance("copper sulfate pentahydrate")
        return self.copper_sulfate_pentahydrate / salt.molar_mass

    @property
    def acid_molarity(self) -> float:
        """H2SO4 as added [mol m⁻³]."""
        return self.sulfuric_acid / substance("sulfuric acid").molar_mass

    @property
    def anhydrous_copper_sulfate(self) -> float:
        """CuSO4 without its crystal water [kg m⁻³]."""
        return self.copper_molarity * substance("copper sulfate").molar_mass


def mass_fractions(composition: Composition, temperature: float) -> dict[str, float]:
    """Kilograms of each solute per kilogram of bath at `temperature` [K].

    Density depends on the fractions and these on density; the iteration contracts by about ten a
    round. Chloride, below a thousandth of the mass, is left out.
    """
    concentrations = {
        "copper sulfate": composition.anhydrous_copper_sulfate,
        "sulfuric acid": composition.sulfuric_acid,
    }
    guess = 1000.0 + 0.6 * sum(concentrations.values())
    change = float("inf")
    for _ in range(_MOST_ROUNDS):
        fractions = {name: mass / guess for name, mass in concentrations.items()}
        better = density(fractions, temperature)
        change = abs(better - guess) / better
        guess = better
        if change < _TOLERANCE:
            return {name: mass / guess for name, mass in concentrations.items()}
    raise NotConverged(
        "the density of this composition was not found", residual=change, iterations=_MOST_ROUNDS
    )
