"""How strong a solution is, and how heavy: density by strength, and strength by what a bottle says.

The table data/densities.csv holds density against mass fraction at temperatures from 0 to 60 °C, as
far as its sources reach; between rows the law is a straight line. The stated error holds from 10 to
30 °C and grows outside, by half at 0 °C and to two and a half times at 60 °C (our guess: two laws
for 50 % sulfuric acid lie 0.1 % apart at 20 °C and 0.2 % at 0 °C). Strength can be asked of density
only where one density has one strength: the strongest sulfuric and acetic acids grow lighter again,
and there the answer is a refusal that names both strengths.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.tables import table
from tankside.base.wording import both, quoting
from tankside.substances.records import substance

ROOM_TEMPERATURE_K = 293.15
"""20 °C, at which products and labels are compared."""

_COLUMN = "density_at_{}_degC"


@dataclass(frozen=True, slots=True)
class _Node:
    """One strength of the curve at a temperature: density [kg m⁻³] and its relative error."""

    fraction: float
    density: float
    error: float


def solution_density(
    name: str, mass_fraction: float, temperature: float = ROOM_TEMPERATURE_K
) -> Interval:
    """Density [kg m⁻³] of a substance in water at a mass fraction and `temperature` [K].

    MissingData where no table is held, OutsideValidity beyond its strengths or temperatures.
    """
    nodes = _curve(name, temperature)
    if not nodes[0].fraction <= mass_fraction <= nodes[-1].fraction:
        raise OutsideValidity(
            "the density of {name} in water is held up to {fraction:g} % by mass at "
            "{temperature}, not at {mass_fraction:.4g} %",
            name=name,
            fraction=100 * nodes[-1].fraction,
            temperature=Quantity(temperature, "degC"),
            mass_fraction=100 * mass_fraction,
        )
    node = _between(nodes, mass_fraction)
    return Interval.about(node.density, node.error)


def strength_from_density(
    name: str, density: Interval, temperature: float = ROOM_TEMPERATURE_K
) -> Interval:
    """Mass fraction [-] of a substance in water whose density [kg m⁻³] is known.

    The interval counts the density's own and the table's error. BadInput where no strength is that
    heavy, or where two strengths are.
    """
    nodes = _curve(name, temperature)
    exact = sorted({round(fraction, 9) for fraction in _crossings(nodes, density.best)})
    possible = possible_strengths(name, density, temperature)
    if not possible:
        raise BadInput(_beyond(name, nodes, density.best, temperature))
    if len(exact) != 1 or len(possible) > 1:
        raise BadInput(
            "a density of {density:.4g} g/mL does not tell the strength of {name}: {exact} by "
            "mass weigh about that; go by the label's percent, or titrate it",
            density=density.best / 1000,
            name=name,
            exact=_listed(exact, possible),
        )
    return Interval(possible[0][0], exact[0], possible[0][1])


def possible_strengths(
    name: str, density: Interval, temperature: float = ROOM_TEMPERATURE_K
) -> tuple[tuple[float, float], ...]:
    """Every stretch of mass fraction [-] that a density [kg m⁻³] and the table's error allow."""
    return tuple(_possible(_curve(name, temperature), density))


def strength_from_concentration(
    name: str, concentration: Interval, temperature: float = ROOM_TEMPERATURE_K
) -> Interval:
    """Mass fraction [-] of a substance that stands at a concentration [kg m⁻³] in its solution.

    BadInput where no solution of it in the table holds so much.
    """
    nodes = _curve(name, temperature)
    most = nodes[-1].fraction * nodes[-1].density
    if not 0.0 <= concentration.low <= concentration.best <= most:
        raise BadInput(
            "{concentration} of {name} is more than a solution holds: its strongest in our table, "
            "{fraction:g} % by mass, has {most}",
            concentration=Quantity(concentration.best, "g/L", 4),
            name=name,
            fraction=100 * nodes[-1].fraction,
            most=Quantity(most, "g/L", 4),
        )

    def fraction(amount: float) -> float:
        return _fraction_holding(nodes, min(amount, most))

    found = concentration.mapped(fraction)
    error = _between(nodes, found.best).error
    return Interval(
        found.low * (1 - error), found.best, min(found.high * (1 + error), nodes[-1].fraction)
    )


def strongest(name: str, temperature: float = ROOM_TEMPERATURE_K) -> float:
    """The highest mass fraction [-] that the table of a substance reaches."""
    return _curve(name, temperature)[-1].fraction


def has_densities(name: str) -> bool:
    """True where a table of densities by strength is held for this substance."""
    return substance(name).name in _tables()


def _fraction_holding(nodes: tuple[_Node, ...], concentration: float) -> float:
    low, high = 0.0, nodes[-1].fraction
    for _ in range(60):
        middle = 0.5 * (low + high)
        if middle * _between(nodes, middle).density < concentration:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _between(nodes: tuple[_Node, ...], fraction: float) -> _Node:
    upper = min(bisect_right([node.fraction for node in nodes], fraction), len(nodes) - 1)
    one, other = nodes[upper - 1], nodes[upper]
    share = (fraction - one.fraction) / (other.fraction - one.fraction)
    return _Node(
        fraction,
        one.density + share * (other.density - one.density),
        one.error + share * (other.error - one.error),
    )


def _crossings(nodes: tuple[_Node, ...], density: float) -> Iterator[float]:
    for one, other in pairwise(nodes):
        low, high = sorted((one.density, other.density))
        if low <= density <= high and one.density != other.density:
            share = (density - one.density) / (other.density - one.density)
            yield one.fraction + share * (other.fraction - one.fraction)


def _possible(nodes: tuple[_Node, ...], density: Interval) -> Iterator[tuple[float, float]]:
    """Stretches of strength whose density, give or take the table's error, may be the given one."""
    begun: tuple[float, float] | None = None
    for one, other in pairwise(nodes):
        stretch = _stretch(one, other, density)
        if stretch is None:
            continue
        if begun is not None and stretch[0] > begun[1] + 1e-12:
            yield begun
            begun = None
        begun = (stretch[0] if begun is None else begun[0], stretch[1])
    if begun is not None:
        yield begun


def _stretch(one: _Node, other: _Node, density: Interval) -> tuple[float, float] | None:
    """The part of a segment where lightest <= density.high and heaviest >= density.low."""
    start, end = 0.0, 1.0
    for first, last in (
        (
            density.high - one.density * (1 - one.error),
            density.high - other.density * (1 - other.error),
        ),
        (
            one.density * (1 + one.error) - density.low,
            other.density * (1 + other.error) - density.low,
        ),
    ):
        if first < 0.0 and last < 0.0:
            return None
        if first < 0.0:
            start = max(start, first / (first - last))
        if last < 0.0:
            end = min(end, first / (first - last))
    if start > end:
        return None
    width = other.fraction - one.fraction
    return one.fraction + start * width, one.fraction + end * width


def _listed(exact: list[float], possible: tuple[tuple[float, float], ...]) -> str:
    if len(exact) > 1:
        return quoting("{low:.3g} % and {high:.3g} %", low=100 * exact[0], high=100 * exact[-1])
    return both(
        quoting("{low:.3g} to {high:.3g} %", low=100 * low, high=100 * high)
        for low, high in possible
    )


def _beyond(name: str, nodes: tuple[_Node, ...], density: float, temperature: float) -> str:
    lightest = min(node.density for node in nodes) / 1000
    heaviest = max(node.density for node in nodes) / 1000
    return quoting(
        "no strength of {name} in water weighs {density:.4g} g/mL at {temperature}: our "
        "table runs from {lightest:.4g} to {heaviest:.4g} g/mL, up to {fraction:g} % by "
        "mass",
        name=name,
        density=density / 1000,
        temperature=Quantity(temperature, "degC"),
        lightest=lightest,
        heaviest=heaviest,
        fraction=100 * nodes[-1].fraction,
    )


@cache
def _curve(name: str, temperature: float) -> tuple[_Node, ...]:
    """The nodes of a substance's curve at a temperature, by straight lines between columns."""
    held = _tables().get(substance(name).name)
    if held is None:
        raise MissingData("no table of density by strength is held for {name}", name=name)
    t = temperature - ZERO_CELSIUS_K
    nodes = tuple(node for row in held if (node := _node(row, t)) is not None)
    if len(nodes) < 2:
        raise OutsideValidity("no density of {name} in water is held at {t:.4g} °C", name=name, t=t)
    return nodes


def _node(row: dict[str, str], t: float) -> _Node | None:
    columns = _temperatures()
    if not columns[0] <= t <= columns[-1]:
        return None
    upper = min(bisect_right(columns, t), len(columns) - 1)
    cold, warm = columns[upper - 1], columns[upper]
    share = (t - cold) / (warm - cold)
    ends = [(row[_COLUMN.format(at)], part) for at, part in ((cold, 1 - share), (warm, share))]
    if any(text == "" and part > 1e-9 for text, part in ends):
        return None
    density = sum(float(text) * part for text, part in ends if part > 1e-9)
    error = float(row["relative_error"]) * (1.0 + max(0.0, abs(t - 20.0) - 10.0) / 20.0)
    return _Node(float(row["mass_fraction"]), density, error)


@cache
def _temperatures() -> tuple[int, ...]:
    first = table("tankside.substances", "densities.csv")[0]
    return tuple(int(name.split("_")[2]) for name in first if name.startswith("density_at_"))


@cache
def _tables() -> dict[str, tuple[dict[str, str], ...]]:
    rows = table("tankside.substances", "densities.csv")
    names = dict.fromkeys(row["substance"] for row in rows)
    return {name: tuple(row for row in rows if row["substance"] == name) for name in names}
