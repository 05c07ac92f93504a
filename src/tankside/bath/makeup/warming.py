"""How large a portion of acid may be, how warm each makes the vessel, and how long to wait between.

A portion may warm the vessel by no more than its material stands in one go, and by no more than
leaves the place where it falls in below the boil; and the vessel never beyond its limit. What it
loses is the heat of its walls and surface to the room (heat.py), or to water with ice around it.
Temperatures are the hot ends of their intervals wherever a limit is at stake.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.units import shown
from tankside.bath.evaporation import Room
from tankside.bath.heat import TankShell, heat_loss
from tankside.bath.heat_of_dilution import heat_capacity_of, mixed_temperature
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.request import MARK_TEMPERATURE
from tankside.bath.makeup.vessels import Vessel, material
from tankside.bath.mixture import Mixture, mixed, volume

_COOLING_STEPS = 16
_HALVINGS = 24
_MOST_PORTIONS = 60
_CLOSE = 2.0
"""A vessel cools to within this of the room's temperature in a time that makes sense [K]."""

_BOILING = 373.15
_FREEZING = 273.15
_COLDEST = _FREEZING + 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What the vessel stands in: its own shape, the room, ice or not."""

    vessel: Vessel
    room: Room
    ice_bath: bool

    @property
    def coolest(self) -> float:
        """To what the vessel is worth cooling [K]."""
        return _FREEZING + 10.0 if self.ice_bath else self.room.temperature + _CLOSE


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One portion: its mass [kg], the vessel before it, after it, and the wait before it [K, s]."""

    mass: float
    before: float
    after: Interval
    wait: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Portioned:
    """A product that goes in by portions: what it becomes, how warm it is [K], as which solids."""

    becomes: Mixture
    temperature: float
    solids: Mapping[str, float] | None

    def share(self, part: float) -> "Portioned":
        """A part of it, from 0 to 1."""
        solids = self.solids
        return Portioned(
            becomes=self.becomes.scaled(part),
            temperature=self.temperature,
            solids=None if solids is None else {n: mass * part for n, mass in solids.items()},
        )

    def into(self, held: Mixture, temperature: float) -> Interval:
        """Temperature [K] of a vessel right after all of it went in."""
        return mixed_temperature(
            held, temperature, self.becomes, self.temperature, solid=self.solids
        ).value


def poured(
    vessel: Mixture,
    temperature: float,
    product: Mixture,
    product_temperature: float,
    around: Surroundings,
    *,
    solids: Mapping[str, float] | None = None,
) -> tuple[Pour, ...]:
    """The equal portions in which a product goes into a vessel at `temperature` [K].

    `solids` are the masses [kg, by substance] that a solid product was weighed as; None for a
    liquid. Before a portion that would be too warm the vessel waits until it is not. Impossible
    where no portion is small enough.
    """
    whole = Portioned(becomes=product, temperature=product_temperature, solids=solids)
    count = _portions(vessel, temperature, whole, around)
    share = whole.share(1.0 / count)
    pours: list[Pour] = []
    held, now = vessel, temperature
    for _ in range(count):
        start, wait = _cool_enough(held, now, share, around)
        after = share.into(held, start)
        if after.low < _COLDEST:
            raise Impossible(
                "dissolving this would cool the vessel to {low}, near freezing; begin with water "
                "at room temperature",
                low=Quantity(after.low, "degC", 2),
            )
        pours.append(Pour(mass=share.becomes.mass, before=start, after=after, wait=wait))
        held, now = mixed(held, share.becomes), after.best
    return tuple(pours)


def largest_rise(around: Surroundings, temperature: float) -> float:
    """How much one portion may warm the vessel [K] at a temperature [K]."""
    local = (_BOILING - temperature) * allowance("unmixed_share").best
    made = material(around.vessel.material)
    return max(min(made.step, allowance("portion_rise").best, local), 0.0)


def cooling_time(held: Mixture, start: float, goal: float, around: Surroundings) -> Interval:
    """Time [s] in which a vessel cools from `start` to `goal` [K], by its own losses or by ice.

    Nothing where it is cool already. Impossible where the room is as warm as the goal.
    """
    if goal >= start:
        return Interval.exact(0.0)
    shell = shell_of(held, start, around.vessel)
    step = (start - goal) / _COOLING_STEPS
    times = [0.0, 0.0, 0.0]
    for number in range(_COOLING_STEPS):
        losses = _losses(shell, start - (number + 0.5) * step, around)
        if losses.low <= 0.0:
            raise Impossible(
                "a vessel in a room at {temperature} does not cool to {goal}; stand it in water "
                "with ice",
                temperature=Quantity(around.room.temperature, "degC"),
                goal=Quantity(goal, "degC"),
            )
        for place, loss in enumerate((losses.high, losses.best, losses.low)):
            times[place] += shell.thermal_mass * step / loss
    return Interval(*times)


def ice_needed(held: Mixture, start: float, goal: float) -> float:
    """Ice [kg] that melts in taking a vessel from `start` to `goal` [K]."""
    heat = heat_capacity_of(held, start) * max(start - goal, 0.0)
    return heat / allowance("ice_heat_of_fusion").best


def shell_of(held: Mixture, temperature: float, vessel: Vessel) -> TankShell:
    """The vessel and what is in it as heat sees them."""
    capacity = heat_capacity_of(held, temperature) / held.mass
    return vessel.shell(held.mass, capacity, volume(held, MARK_TEMPERATURE))


def _portions(vessel: Mixture, temperature: float, product: Portioned, around: Surroundings) -> int:
    """Into how many equal portions a product is divided, by the rise of the first."""

    def fits(share: float) -> bool:
        after = product.share(share).into(vessel, temperature)
        return after.high - temperature <= largest_rise(around, temperature)

    if fits(1.0):
        return 1
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fits(middle) else (low, middle)
    if low * _MOST_PORTIONS < 1.0:
        raise Impossible(
            "this product would have to go in by more than {most_portions} portions; begin with "
            "more water, cool it first, or take a weaker one",
            most_portions=_MOST_PORTIONS,
        )
    return ceil(1.0 / low - 1e-9)


def _cool_enough(
    held: Mixture, now: float, share: Portioned, around: Surroundings
) -> tuple[float, Interval]:
    """At what temperature [K] the next portion may go in, and the wait until then [s]."""
    after = share.into(held, now)
    over = after.high - around.vessel.warmest
    if over <= 0.0:
        return now, Interval.exact(0.0)
    goal = now - over - 0.5
    if goal < around.coolest:
        room = shown(around.room.temperature, "degC", 3)
        raise Impossible(
            "a portion of {mass} would bring the vessel to {high}, above the {warmest} that it "
            "stands, and a room at {room} does not cool it enough; stand it in water with ice, "
            "begin with more water, or take a vessel that stands more",
            mass=Quantity(share.becomes.mass, "g"),
            high=Quantity(after.high, "degC"),
            warmest=Quantity(around.vessel.warmest, "degC"),
            room=room,
        )
    return goal, cooling_time(held, now, goal, around)


def _losses(shell: TankShell, temperature: float, around: Surroundings) -> Interval:
    """Power lost [W]."""
    to_room = heat_loss(shell, temperature, around.room).total
    if not around.ice_bath:
        return to_room
    film = allowance("ice_bath_film").value
    driving = (temperature - _FREEZING) * shell.wall_area
    return film.mapped(lambda h: driving / (shell.wall_resistance + 2.0 / h))
