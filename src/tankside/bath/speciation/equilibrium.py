"""Which ions are in a solution of known totals: mass balance, charge balance, activities by Davies.

Unknowns are the logarithms of the free components' molalities and of the ionic strength. Each
balance is the logarithm of a ratio (what the species hold over what was put in; positive over
negative charge), so that every equation is of order one whatever the concentrations, and Newton's
steps are nearly straight. It starts from equilibria at fixed activities, which are minima of a
convex function (the dual of the Gibbs energy) that a damped Newton finds from anywhere. Activities:
Davies (1962), ln gamma = -A z² [sqrt(I)/(1 + sqrt(I)) - 0.3 I], trusted to
TRUSTED_IONIC_STRENGTH; between that and HIGHEST_IONIC_STRENGTH the answer says that it is beyond,
and above it the model refuses.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, NotConverged, OutsideValidity
from tankside.base.messages import Quantity
from tankside.bath.speciation.debye_hueckel import davies_slope
from tankside.bath.speciation.species import BARE, COMPONENTS, Species, among, counts

TRUSTED_IONIC_STRENGTH = 0.5
"""Ionic strength up to which Davies' formula is commonly trusted [mol kg⁻¹]."""

HIGHEST_IONIC_STRENGTH = 2.0
"""Ionic strength above which no answer is given [mol kg⁻¹]: our choice; Davies' activities rise
there for every ion alike, which real ones do not."""

TEMPERATURE_RANGE_K = (273.15, 333.15)

_TOLERANCE = 1e-12
_ROUGH = 1e-3
_MOST_STEPS = 200
_MOST_ROUNDS = 30
_MOST_HALVINGS = 25
_LONGEST_STEP = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Speciation:
    """A solved equilibrium.

    molality         of each species by name [mol kg⁻¹]
    log_gamma        ln of each species' activity coefficient [-]
    ionic_strength   [mol kg⁻¹]
    temperature      [K]
    residual         largest relative imbalance of mass or charge left [-]
    iterations       Newton steps taken
    """

    molality: dict[str, float]
    log_gamma: dict[str, float]
    ionic_strength: float
    temperature: float
    residual: float
    iterations: int

    def activity(self, name: str) -> float:
        """Activity of a species on the molal scale [-]."""
        return float(self.molality[name] * np.exp(self.log_gamma[name]))

    @property
    def pH(self) -> float:
        """-log10 of the hydrogen ion's activity [-]."""
        return -log(self.activity("H+")) / log(10.0)

    @property
    def beyond_trust(self) -> bool:
        """True where the ionic strength is above what Davies is trusted for."""
        return self.ionic_strength > TRUSTED_IONIC_STRENGTH


def speciated(totals: Mapping[str, float], temperature: float) -> Speciation:
    """The equilibrium of these totals [mol kg⁻¹ of water] at `temperature` [K].

    totals      of copper, sulfate, acetate, citrate, sodium, chloride; absent or zero is none.
                Hydrogen is not given: it is what balances the charge.

    BadInput for a negative total or one that is not known, OutsideValidity off 0 to 60 °C or above
    HIGHEST_IONIC_STRENGTH, NotConverged with the residual reached.
    """
    _check(totals, temperature)
    present = {name: total for name, total in totals.items() if total > 0.0}
    components = ("hydrogen", *present)
    held = among(frozenset(components))
    system = _System.of(held, components, list(present.values()), temperature)
    unknowns, residual, steps = system.solved()
    molality, log_gamma = system.state(unknowns)
    return Speciation(
        molality=dict(zip((one.name for one in held), molality.tolist(), strict=True)),
        log_gamma=dict(zip((one.name for one in held), log_gamma.tolist(), strict=True)),
        ionic_strength=exp(float(unknowns[-1])),
        temperature=temperature,
        residual=residual,
        iterations=steps,
    )


def log_gamma_factor(ionic_strength: float, slope: float) -> tuple[float, float]:
    """ln(gamma)/z² of Davies, and its derivative by ionic strength; `slope` for log10."""
    root = sqrt(ionic_strength)
    natural = slope * log(10.0)
    value = -natural * (root / (1.0 + root) - 0.3 * ionic_strength)
    gradient = -natural * (0.5 / (root * (1.0 + root) ** 2) - 0.3)
    return value, gradient


def _check(totals: Mapping[str, float], temperature: float) -> None:
    low, high = TEMPERATURE_RANGE_K
    if not low <= temperature <= high:
        raise OutsideValidity(
            "the equilibria of copper baths are held from {low} to {high}, not at {temperature}",
            low=Quantity(low, "degC", 6, bare=True),
            high=Quantity(high, "degC", 6),
            temperature=Quantity(temperature, "degC", 4),
        )
    for name, total in totals.items():
        if name not in COMPONENTS or name == "hydrogen":
            raise BadInput(
                "{name!r} is no component that can be given; they are {components}",
                name=name,
                components=COMPONENTS[1:],
            )
        if not 0.0 <= total < float("inf"):
            raise BadInput("a bath cannot hold {total} mol/kg of {name}", total=total, name=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class _System:
    """The equations: constants and counts of the species, and what they must sum to."""

    log_constants: Floats  # (species,)
    counts: Floats  # (species, components), hydrogen first
    charges: Floats  # (species,)
    squares: Floats  # (species,): how ln K' moves with ln(gamma)/z²
    totals: Floats  # (components,), that of hydrogen from the charge balance
    slope: float

    @classmethod
    def of(
        cls,
        held: tuple[Species, ...],
        components: tuple[str, ...],
        totals: list[float],
        temperature: float,
    ) -> "_System":
        made_of = counts(held, components)
        charges = np.array([one.charge for one in held], float)
        bare = {one.name: one.charge for one in held}
        own = np.array([bare[BARE[name]] for name in components], float)
        # charge balance: what the components carry is made good by hydrogen, or by its lack
        hydrogen = -float(own[1:] @ np.array(totals))
        return cls(
            log_constants=np.array([one.log_constant(temperature) for one in held]),
            counts=made_of,
            charges=charges,
            squares=made_of @ own**2 - charges**2,
            totals=np.concatenate([[hydrogen], totals]),
            slope=davies_slope(temperature),
        )

    def state(self, unknowns: Floats) -> tuple[Floats, Floats]:
        """Molalities and ln(gamma) of all species."""
        factor, _ = log_gamma_factor(exp(float(unknowns[-1])), self.slope)
        logs = self.log_constants + self.counts @ unknowns[:-1] + factor * self.squares
        return np.exp(np.clip(logs, -700.0, 100.0)), factor * self.charges**2

    def solved(self) -> tuple[Floats, float, int]:
        """Unknowns, the residual left and the steps taken."""
        start, first = self._approached()
        unknowns, size, second = self._newton(start)
        self._refuse_strong(exp(float(unknowns[-1])))
        return unknowns, size, first + second

    def _approached(self) -> tuple[Floats, int]:
        """Equilibria at fixed activities, with the ionic strength found by halving its error."""
        free = np.log(np.concatenate([[1e-3], self.totals[1:] * 0.1]))
        log_ionic, steps = log(0.1), 0
        for _ in range(_MOST_ROUNDS):
            free, taken = self._minimised(free, log_ionic)
            steps += taken
            molality, _ = self.state(np.append(free, log_ionic))
            found = log(max(0.5 * float(molality @ self.charges**2), 1e-12))
            if abs(found - log_ionic) < _ROUGH:
                break
            log_ionic = min(0.5 * (log_ionic + found), log(2.0 * HIGHEST_IONIC_STRENGTH))
        if log_ionic >= log(1.9 * HIGHEST_IONIC_STRENGTH):
            self._refuse_strong(exp(found))
        return np.append(free, log_ionic), steps

    def _minimised(self, free: Floats, log_ionic: float) -> tuple[Floats, int]:
        """Least of sum(molality) - totals . free, whose slope is the mass balances."""

        def height(at: Floats) -> tuple[float, Floats]:
            molality, _ = self.state(np.append(at, log_ionic))
            return float(molality.sum() - self.totals @ at), molality

        scale = np.maximum(np.abs(self.totals), 1e-7)
        level, molality = height(free)
        for step in range(_MOST_STEPS):
            slope = molality @ self.counts - self.totals
            if float(np.abs(slope / scale).max()) < _ROUGH:
                return free, step
            curvature = (self.counts.T * molality) @ self.counts
            damping = 1e-12 * float(np.trace(curvature))
            change = np.linalg.solve(curvature + damping * np.eye(len(free)), -slope)
            length = min(1.0, _LONGEST_STEP / max(float(np.abs(change).max()), 1e-300))
            for _ in range(_MOST_HALVINGS):
                tried, held = height(free + length * change)
                if tried <= level + 1e-4 * length * float(slope @ change):
                    break
                length *= 0.5
            free, level, molality = free + length * change, tried, held
        return free, _MOST_STEPS

    def _newton(self, unknowns: Floats) -> tuple[Floats, float, int]:
        """All balances together, to rounding."""
        residual, jacobian = self._equations(unknowns)
        size = float(np.abs(residual).max())
        for step in range(_MOST_STEPS):
            if size < _TOLERANCE:
                return unknowns, size, step
            change = np.linalg.solve(jacobian, -residual)
            length = min(1.0, _LONGEST_STEP / max(float(np.abs(change).max()), 1e-300))
            for _ in range(_MOST_HALVINGS):
                tried = unknowns + length * change
                residual, jacobian = self._equations(tried)
                found = float(np.abs(residual).max())
                if found < size:
                    break
                length *= 0.5
            unknowns, size = tried, found
        raise NotConverged(
            "the equilibrium of this bath was not found", residual=size, iterations=_MOST_STEPS
        )

    def _equations(self, unknowns: Floats) -> tuple[Floats, Floats]:
        """The residual of each balance and of the ionic strength, and their derivatives."""
        ionic = exp(float(unknowns[-1]))
        _, gradient = log_gamma_factor(ionic, self.slope)
        molality, _ = self.state(unknowns)
        by_unknown = np.hstack([self.counts, (gradient * ionic * self.squares)[:, None]])
        positive = molality * np.maximum(self.charges, 0.0)
        negative = molality * np.maximum(-self.charges, 0.0)
        charge = np.log(positive.sum() / negative.sum())
        charge_row = positive @ by_unknown / positive.sum() - negative @ by_unknown / negative.sum()
        holding = molality[:, None] * self.counts[:, 1:]
        sums = holding.sum(axis=0)
        half = 0.5 * molality * self.charges**2
        ionic_row = half @ by_unknown / half.sum()
        ionic_row[-1] -= 1.0
        residual = np.concatenate(
            [[charge], np.log(sums / self.totals[1:]), [log(half.sum() / ionic)]]
        )
        mass_rows = (holding.T @ by_unknown) / sums[:, None]
        return residual, np.vstack([charge_row, mass_rows, ionic_row])

    @staticmethod
    def _refuse_strong(ionic: float) -> None:
        if ionic > HIGHEST_IONIC_STRENGTH:
            raise OutsideValidity(
                "the equilibria are computed up to an ionic strength of "
                "{highest_ionic_strength:g} mol/kg, not {ionic:.3g}; dilute the bath",
                highest_ionic_strength=HIGHEST_IONIC_STRENGTH,
                ionic=ionic,
            )
