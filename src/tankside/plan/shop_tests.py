"""Cheap tests of a shop's own cell, and what a model predicts for each.

    burning     raise the current on a coupon until it burns: the limiting current
    bent strip  how far a bent strip burns at one current: the same (bent_strip.py)
    throwing    two plates at two distances share a current: conduction against polarisation
    sweep       voltage against current between two plates: conductivity and kinetics
    strip       resistance of a painted strip: sheet resistance of the coat
    audit       what a finished run told of the copper efficiency

Each gives an `Observation` for runs/calibration.py, whose factors stand in FACTORS. A shop's
factors then narrow an electrolyte's intervals (`calibrated`), and so every plan made with it.
Models are one-dimensional between facing plates that fill their trough; their own error is in the
numbers.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import log, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.base.messages import said
from tankside.bath.electrolyte import Electrolyte
from tankside.field.problem import ElectrodeLaw
from tankside.plan.laws import BathNumbers, anode_law, best_numbers, cathode_law, moved_numbers
from tankside.runs.calibration import Observation, Shop

NAMES = {
    "conductivity": said("conductivity"),
    "limiting_current_density": said("limiting current density"),
    "exchange_current_density": said("exchange current density"),
    "cathodic_transfer": said("cathodic transfer"),
    "sheet_resistance": said("sheet resistance"),
    "efficiency": said("efficiency"),
}

FACTORS = (
    "conductivity",
    "limiting_current_density",
    "exchange_current_density",
    "cathodic_transfer",
    "sheet_resistance",
    "efficiency",
)
"""What a shop is known by; the first four are numbers of an electrolyte."""

COAT = Interval(0.5, 5.0, 500.0)
"""Sheet resistance of a brushed coat before any is measured [ohm] (published measurements of
shielding paints lie from 0.1 to 27, graphite paints to hundreds; common practice, no source)."""

EFFICIENCY = Interval(0.95, 0.99, 1.0)
"""Copper's share of the current before any run is audited [-] (Metal Finishing Guidebook 2013,
p. 284: about 100 %)."""

BURNS_AT = Interval(0.7, 0.9, 1.05)
"""Share of the limiting current at which a coupon first looks burnt [-] (common practice, no
source)."""

PLATE_MODEL_ERROR = 0.02
"""Of a one-dimensional trough [-], from edges and films: our judgement."""


_REACH_V, _POINTS = 1.5, 1500
"""How far the tables of overpotential reach [V], and with how many points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BurningTest:
    """The last current density that looked well, and the first that burnt [A m⁻²]."""

    good: float
    burnt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrowingTest:
    """Masses gained by the near and the far plate [kg], their distances from the anode [m], the
    mean current density [A m⁻²], and how finely the scale reads [kg]."""

    near_gain: float
    far_gain: float
    near: float
    far: float
    mean_current_density: float
    scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """Voltages [V] at current densities [A m⁻²] between copper plates `gap` apart [m], the leads'
    resistance times area [ohm m²], and the meter's error [V]."""

    current_density: Floats
    voltage: Floats
    gap: float
    leads: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StripTest:
    """Resistance [ohm] of a painted strip, its length between the clips and its width [m], and the
    meter's and the brush's relative error [-]."""

    resistance: float
    length: float
    width: float
    error: float


def shop_before(electrolyte: Electrolyte, sheet_resistance: Interval, efficiency: Interval) -> Shop:
    """What tables say of a shop with such a bath and such a coat."""
    return Shop.believed(
        {
            "conductivity": electrolyte.conductivity,
            "limiting_current_density": electrolyte.limiting_current_density,
            "exchange_current_density": electrolyte.exchange_current_density,
            "cathodic_transfer": electrolyte.cathodic_transfer,
            "sheet_resistance": sheet_resistance,
            "efficiency": efficiency,
        }
    )


def of_burning(test: BurningTest, electrolyte: Electrolyte, *, name: str) -> Observation:
    """A coupon under a rising current."""
    if not 0.0 < test.good < test.burnt:
        raise BadInput("the current that burnt must be above the last that looked well", where=name)
    best = best_numbers(electrolyte)
    limit = log(best.limiting_current_density)
    between = log(test.burnt / test.good) / sqrt(12)
    look = log(BURNS_AT.high / BURNS_AT.low) / (2 * NINE_IN_TEN)
    middle = log(BURNS_AT.low * BURNS_AT.high) / 2
    return Observation(
        name=name,
        predicted=lambda x: np.array([limit + x[1] + middle]),
        measured=np.array([log(test.good * test.burnt) / 2]),
        error=np.array([sqrt(between**2 + look**2)]),
    )


def of_throwing(test: ThrowingTest, electrolyte: Electrolyte, *, name: str) -> Observation:
    """The two-distance throwing cell, as the logarithm of near over far gain."""
    if min(test.near_gain, test.far_gain) <= 0.0 or not 0.0 < test.near < test.far:
        raise BadInput("both plates must gain, and the far one hang farther away", where=name)
    best = best_numbers(electrolyte)
    scale = test.scale / sqrt(6) * sqrt(test.near_gain**-2 + test.far_gain**-2)
    return Observation(
        name=name,
        predicted=lambda x: np.array([log(near_over_far(moved_numbers(best, x), test))]),
        measured=np.array([log(test.near_gain / test.far_gain)]),
        error=np.array([sqrt(scale**2 + PLATE_MODEL_ERROR**2)]),
    )


def of_sweep(test: Sweep, electrolyte: Electrolyte, *, name: str) -> Observation:
    """Voltage against current between two plates."""
    if len(test.current_density) < 2 or not (test.current_density > 0.0).all():
        raise BadInput("a sweep needs two currents or more, above zero", where=name)
    best = best_numbers(electrolyte)

    def predicted(x: Floats) -> Floats:
        numbers = moved_numbers(best, x)
        voltages = cell_voltages(numbers, test.current_density, test.gap)
        return voltages + test.current_density * test.leads

    model = PLATE_MODEL_ERROR * test.voltage
    return Observation(
        name=name,
        predicted=predicted,
        measured=test.voltage,
        error=np.sqrt(test.error**2 + model**2),
    )


def of_strip(test: StripTest, table: float, *, name: str) -> Observation:
    """A painted strip's sheet resistance [ohm] over the `table`'s."""
    if min(test.resistance, test.length, test.width) <= 0.0:
        raise BadInput("a strip has a resistance, a length and a width above zero", where=name)
    return _direct("sheet_resistance", test.resistance * test.width / test.length, test.error,
                   table, name)  # fmt: skip


def of_audit(efficiency: Interval, table: float, *, name: str) -> Observation:
    """An audited copper efficiency [-] over the `table`'s."""
    error = log(efficiency.high / efficiency.low) / (2 * NINE_IN_TEN)
    return _direct("efficiency", efficiency.best, max(error, 1e-4), table, name)


def calibrated(electrolyte: Electrolyte, shop: Shop) -> Electrolyte:
    """The electrolyte with this shop's numbers. The boundary layer carries what is known of the
    limiting current; concentration and diffusivity keep their best values for it."""
    best = best_numbers(electrolyte)
    limit = shop.applied("limiting_current_density", best.limiting_current_density)
    layer = electrolyte.boundary_layer.best * best.limiting_current_density
    efficiency = _audited_efficiency(shop)
    return replace(
        electrolyte,
        conductivity=shop.applied("conductivity", best.conductivity),
        exchange_current_density=shop.applied(
            "exchange_current_density", best.exchange_current_density
        ),
        cathodic_transfer=shop.applied("cathodic_transfer", best.cathodic_transfer),
        copper_concentration=Interval.exact(electrolyte.copper_concentration.best),
        diffusivity=Interval.exact(electrolyte.diffusivity.best),
        boundary_layer=limit.mapped(lambda one: layer / one),
        efficiency=efficiency,
        assumptions=(
            *electrolyte.assumptions,
            said("Conductivity, kinetics and limiting current are those of this shop's own tests."),
            *_said(efficiency),
        ),
    )


def _said(efficiency: Interval) -> tuple[str, ...]:
    if efficiency.low == efficiency.high:
        return ()
    low, best, high = (100 * one for one in (efficiency.low, efficiency.best, efficiency.high))
    return (
        said(
            "Of copper's current {best} % stays as metal ({low} to {high} %), by this "
            "shop's audits.",
            best=f"{best:.1f}",
            low=f"{low:.1f}",
            high=f"{high:.1f}",
        ),
    )


def _audited_efficiency(shop: Shop) -> Interval:
    """Copper's share of the current [-] where audits have told more of it than the tables; else
    all of it, and what is lost is hydrogen by the rate laws."""
    known, table = shop.factor("efficiency"), EFFICIENCY
    if known.high / known.low > (table.high / table.low) ** 0.95:
        return Interval.exact(1.0)
    found = known.scaled(table.best)
    return Interval(min(found.low, 1.0), min(found.best, 1.0), min(found.high, 1.0))


def cell_voltages(numbers: BathNumbers, current_density: Floats, gap: float) -> Floats:
    """Between two facing copper plates `gap` apart [m], without leads, at current densities (m,)
    [A m⁻²] [V]."""
    cathode = polarisation(cathode_law(numbers), anodic=False)
    anode = polarisation(anode_law(numbers), anodic=True)
    drop = current_density * gap / numbers.conductivity
    total: Floats = anode(-current_density) - cathode(current_density) + drop
    return total


def near_over_far(numbers: BathNumbers, test: ThrowingTest) -> float:
    """Ratio of the copper laid on two plates that share a current [-]."""
    law = cathode_law(numbers)
    overpotential = polarisation(law, anodic=False)

    def apart(near: float) -> float:
        current = np.array([near, 2 * test.mean_current_density - near])
        drop = current * np.array([test.near, test.far]) / numbers.conductivity
        across = drop - overpotential(current)
        return float(across[0] - across[1])

    least = 1e-6 * test.mean_current_density
    from scipy.optimize import brentq  # a server's start need not wait for it

    near = brentq(apart, least, 2 * test.mean_current_density - least, xtol=1e-9)
    shared = overpotential(np.array([near, 2 * test.mean_current_density - near]))
    copper = law.copper_current_density(shared)
    return float(copper[0] / copper[1])


def polarisation(law: ElectrodeLaw, *, anodic: bool) -> Callable[[Floats], Floats]:
    """Overpotential [V] of current densities [A m⁻²], by a table of the law on one side of rest
    whose end carries more than any bench."""
    overpotential = np.linspace(0.0, _REACH_V if anodic else -_REACH_V, _POINTS)
    current = law.current_density(overpotential)
    scale = np.arcsinh(current)
    order = np.argsort(scale)
    return lambda wanted: np.interp(np.arcsinh(wanted), scale[order], overpotential[order])


def _direct(factor: str, measured: float, error: float, table: float, name: str) -> Observation:
    place = FACTORS.index(factor)
    predicted: Callable[[Floats], Floats] = lambda x: x[place : place + 1]  # noqa: E731
    return Observation(
        name=name,
        predicted=predicted,
        measured=np.array([log(measured / table)]),
        error=np.array([error]),
    )


def told(shop: Shop, before: Shop) -> Sequence[str]:
    """A sentence for each factor that is known better than before."""
    lines = []
    for name in shop.names:
        now, was = shop.factor(name), before.factor(name)
        narrower = log(was.high / was.low) / max(log(now.high / now.low), 1e-12)
        if narrower > 1.2:
            lines.append(
                said(
                    "The {name} is {now} times the table's ({now_low} to {now_high}), known "
                    "{narrower} times better than before.",
                    name=NAMES.get(name, name),
                    now=f"{now.best:.2f}",
                    now_low=f"{now.low:.2f}",
                    now_high=f"{now.high:.2f}",
                    narrower=f"{narrower:.1f}",
                )
            )
    return lines
