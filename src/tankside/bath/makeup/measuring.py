"""Measuring out with the person's own tools: which tool, how often filled, rounded to what it
shows, and what it may err; and the stock solution where a dose is too small for every tool.

A tool is fit from twenty of its divisions. Of those that are good enough the one that is filled
least is taken, else the one that errs least. Fills err independently of each other.
"""

from dataclasses import dataclass
from math import ceil, hypot, sqrt

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.wording import quoting, term
from tankside.bath import water
from tankside.bath.heat_of_dilution import mixed_temperature
from tankside.bath.makeup.numbers import allowance, toml_rows
from tankside.bath.makeup.plan import Amount, Reading, StockSolution
from tankside.bath.makeup.request import MARK_TEMPERATURE, Measures, Tool
from tankside.bath.mixture import Mixture, filled, portion
from tankside.substances import substance
from tankside.substances.products import Form, Product

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A dose in one tool: the reading, the mass that it is [kg], and its relative error [-]."""

    reading: Reading
    mass: float
    relative_error: float


def measured_amount(
    product: Product, mass: float, tools: tuple[Tool, ...], *, most: float | None = None
) -> Amount:
    """How `mass` [kg] of a product is measured, rounded to the tool, from a stock if need be.

    Rounded down where there is no more than `most` [kg].

    Impossible, with the finest tool named, where neither a tool nor a stock is fine enough.
    """
    direct = best_measured(product, mass, tools, most=most)
    if direct is not None:
        return _amount(product, direct.mass, direct.relative_error, direct.reading, None)
    stock, error = stock_solution(product, mass, tools)
    dosed = stock.dose.best * stock.strength
    return _amount(product, dosed, error, stock.dose_reading, stock)


def best_measured(
    product: Product, mass: float, tools: tuple[Tool, ...], *, most: float | None = None
) -> Measured | None:
    """The dose in the handiest tool that is fine enough, None where none is."""
    fit = [found for tool in tools if (found := _measured(product, mass, tool, most)) is not None]
    good = [one for one in fit if one.relative_error <= allowance("good_enough").best]
    if good:
        return min(good, key=lambda one: (one.reading.fills, one.relative_error))
    return min(fit, key=lambda one: one.relative_error, default=None)


def density_of(product: Product) -> Interval | None:
    """Density [kg m⁻³] of a liquid product at 20 °C: its own, or water's where it is water."""
    if product.form is Form.SOLID:
        return None
    if product.density is None and all(one.substance == "water" for one in product.contents):
        return Interval.about(water.density(MARK_TEMPERATURE), 0.001)
    return product.density


def stock_solution(
    product: Product, mass: float, tools: tuple[Tool, ...]
) -> tuple[StockSolution, float]:
    """A dilution from which `mass` [kg] of a product can be dosed, and the dose's relative error.

    The smallest stock that both its own making and its dosing can be measured for.
    """
    for litres in toml_rows("stocks.toml")["sizes"]["litres"]:
        volume = litres * 1e-3
        found = [
            one
            for taken in _stock_masses(product, volume)
            if (one := _stock(product, mass, taken, volume, tools)) is not None
        ]
        if found:
            return min(found, key=lambda pair: pair[1])
    raise Impossible(_too_fine(product, mass, tools), where="tools")


def dosed_volume(volume: float, tools: tuple[Tool, ...]) -> float | None:
    """A volume [m³] rounded to the tool that measures it best; None where none is fine enough."""
    found = _dosed(volume, tools)
    return None if found is None else found[0].total


def _measured(product: Product, mass: float, tool: Tool, most: float | None) -> Measured | None:
    heavy = density_of(product)
    if tool.measures is Measures.VOLUME and heavy is None:
        return None
    per = 1.0 if tool.measures is Measures.MASS or heavy is None else heavy.best
    wanted = mass / per
    if wanted < allowance("least_multiple").best * tool.resolution:
        return None
    divisions = round(wanted / tool.resolution)
    if most is not None and divisions * tool.resolution * per > most * (1.0 + _ROUNDING):
        divisions -= 1
    total = round(divisions * tool.resolution, 15)
    fills = max(ceil(total / tool.capacity - _ROUNDING), 1)
    error = sqrt(fills) * tool.error / total
    if tool.measures is Measures.VOLUME and heavy is not None:
        error = hypot(error, heavy.relative_spread)
    by_mass = tool.measures is Measures.MASS
    reading = Reading(tool=tool.name, total=total, by_mass=by_mass, fills=fills)
    return Measured(reading=reading, mass=total * per, relative_error=error)


def _amount(
    product: Product,
    mass: float,
    error: float,
    reading: Reading,
    stock: StockSolution | None,
) -> Amount:
    heavy = density_of(product)
    price = product.cost_per_kg
    return Amount(
        product=product.name,
        mass=Interval.about(mass, error),
        volume=None if heavy is None else Interval.about(mass / heavy.best, error),
        reading=reading,
        stock=stock,
        relative_error=error,
        cost=None if price is None else price * mass,
    )


def _stock_masses(product: Product, volume: float) -> list[float]:
    """Masses of product [kg] that make stocks of plain strengths in a volume [m³]."""
    sizes = toml_rows("stocks.toml")["sizes"]
    named, fraction = _main_content(product)
    if fraction <= 0.0:
        return []
    weight = _formula_mass(named)
    if weight is None:
        return [strength * volume / fraction for strength in sizes["g_L"]]
    return [1e3 * strength * volume * weight / fraction for strength in sizes["mol_L"]]


def _formula_mass(named: str) -> float | None:
    """Molar mass [kg mol⁻¹] of a substance that is told in moles; None for polymers and mixes."""
    if not named or not substance(named).formula:
        return None
    return substance(named).molar_mass


def _main_content(product: Product) -> tuple[str, float]:
    """The substance that a product is bought for, and its mass fraction; the additive itself where
    nothing is known of it."""
    best = max(
        (one for one in product.contents if one.substance != "water"),
        key=lambda one: one.mass_fraction.best,
        default=None,
    )
    return ("", 1.0) if best is None else (best.substance, best.mass_fraction.best)


def _stock(
    product: Product, mass: float, taken: float, volume: float, tools: tuple[Tool, ...]
) -> tuple[StockSolution, float] | None:
    take = best_measured(product, taken, tools)
    marks = _volume_tool(volume, tools)
    if take is None or marks is None:
        return None
    strength = take.mass / volume
    if mass / strength > allowance("stock_used_at_most").best * volume:
        return None
    dose = _dosed(mass / strength, tools)
    if dose is None:
        return None
    reading, dose_error = dose
    error = hypot(hypot(take.relative_error, marks), dose_error)
    named, fraction = _main_content(product)
    acid = named in ("hydrochloric acid", "sulfuric acid")
    stock = StockSolution(
        product=product.name,
        substance=named,
        taken=Interval.about(take.mass, take.relative_error),
        take=take.reading,
        volume=volume,
        strength=strength,
        molarity=_molarity(named, strength * fraction),
        dose=Interval.about(reading.total, dose_error),
        dose_reading=reading,
        acid_first=acid,
        rise=_rise(product, take.mass, volume) if acid else 0.0,
    )
    return stock, error


def _molarity(named: str, concentration: float) -> float:
    """[mol m⁻³] of a substance at a concentration [kg m⁻³]; zero where it has no formula."""
    weight = _formula_mass(named)
    return 0.0 if weight is None else concentration / weight


def _dosed(volume: float, tools: tuple[Tool, ...]) -> tuple[Reading, float] | None:
    """How a volume of stock [m³] is measured, and its relative error."""
    like_water = Product(
        name="stock",
        form=Form.LIQUID,
        contents=(),
        density=Interval.exact(1.0),
    )
    by_volume = tuple(tool for tool in tools if tool.measures is Measures.VOLUME)
    found = best_measured(like_water, volume, by_volume)
    return None if found is None else (found.reading, found.relative_error)


def _volume_tool(volume: float, tools: tuple[Tool, ...]) -> float | None:
    """Relative error of filling a stock to a volume [m³] with the best tool that there is."""
    errors = [
        sqrt(max(ceil(volume / tool.capacity - _ROUNDING), 1)) * tool.error / volume
        for tool in tools
        if tool.measures is Measures.VOLUME
        and volume >= allowance("least_multiple").value.low * tool.resolution
        and volume / tool.capacity <= 20.0
    ]
    return min(errors, default=None)


def _rise(product: Product, mass: float, volume: float) -> float:
    """By how much a stock of acid warms where it is poured in at once [K]."""
    added = portion(product, mass)
    whole = filled(added, volume, MARK_TEMPERATURE)
    first = Mixture(masses={"water": whole.of("water") - added.of("water")})
    after = mixed_temperature(first, MARK_TEMPERATURE, added, MARK_TEMPERATURE)
    return after.value.best - MARK_TEMPERATURE


def _too_fine(product: Product, mass: float, tools: tuple[Tool, ...]) -> str:
    finest = min(
        (tool for tool in tools),
        key=lambda tool: tool.resolution * (1.0 if tool.measures is Measures.MASS else 1e3),
        default=None,
    )
    least = allowance("least_multiple").best
    named = (
        term("there is no tool")
        if finest is None
        else quoting(
            "the finest tool, {finest!r}, shows {division}",
            finest=finest.name,
            division=Quantity(finest.resolution, "g" if finest.measures is Measures.MASS else "mL"),
        )
    )
    return quoting(
        "{mass} of {product!r} cannot be measured: {named}, and a dose takes {least:.0f} "
        "divisions, also from a stock solution of up to a litre; get a syringe of 1 mL or "
        "a scale of 0.01 g",
        mass=Quantity(mass, "g"),
        product=product.name,
        named=named,
        least=least,
    )
