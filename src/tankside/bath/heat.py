"""What a tank of bath loses to the room, what keeps it warm, and how long warming takes.

Losses: evaporation, convection and radiation from the open surface; convection and radiation from
the walls behind their own thermal resistance (McAdams' simplified equations for free convection
in air, the larger of laminar and turbulent). Copper dissolves at one electrode and deposits at
the other, so all electrical power but what the leads keep becomes heat in the bath. Heat stored
in walls, anodes and part is left out; intervals are 25 % for walls and evaporation's own span for
the surface.
"""

from dataclasses import dataclass

from tankside.base.errors import BadInput, Impossible
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.bath.evaporation import Room, evaporation_rate
from tankside.bath.parameters import parameter

STEFAN_BOLTZMANN = 5.670374419e-8
"""[W m⁻² K⁻⁴], exact in the SI to the digits given."""

WALL_ERROR = 0.25
"""How far the loss through walls is believed to err [-]; our judgement."""

_STEPS = 200
_HALVINGS = 60


BARE_WALL_RESISTANCE = 0.02
"""Thermal resistance of 4 mm of plastic at 0.2 W m⁻¹ K⁻¹ [m² K W⁻¹]: our guess of a bare tank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TankShell:
    """The tank as heat sees it.

    liquid_mass          of bath [kg]
    heat_capacity        of bath [J kg⁻¹ K⁻¹]
    surface_area         level liquid surface [m²]
    open_fraction        share of it that no lid or floating balls cover, 0 to 1
    wall_area            of wetted walls and floor [m²]
    wall_height          of the liquid [m]
    wall_resistance      thickness over conductivity of wall and lagging [m² K W⁻¹]
    water_activity       vapour pressure over the bath, of pure water's [-]
    """

    liquid_mass: float
    heat_capacity: float
    surface_area: float
    wall_area: float
    wall_height: float
    open_fraction: float = 1.0
    wall_resistance: float = BARE_WALL_RESISTANCE
    water_activity: float = 1.0

    def __post_init__(self) -> None:
        for name in ("liquid_mass", "heat_capacity", "surface_area", "wall_height"):
            if not getattr(self, name) > 0.0:
                raise BadInput(
                    "a tank's {name} is above zero", name=name.replace("_", " "), where=name
                )
        if not (self.wall_area >= 0.0 and self.wall_resistance >= 0.0):
            raise BadInput("a tank's wall area and thermal resistance are not negative")
        if not 0.0 <= self.open_fraction <= 1.0:
            raise BadInput(
                "the open share of a surface lies between 0 and 1: {open_fraction}",
                open_fraction=self.open_fraction,
            )

    @property
    def thermal_mass(self) -> float:
        """Heat that warms the bath by a kelvin [J K⁻¹]."""
        return self.liquid_mass * self.heat_capacity


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLoss:
    """Power lost [W], by way, negative where the room warms the bath, and water lost [kg s⁻¹]."""

    evaporation: Interval
    surface: Interval
    walls: Interval
    water: Interval

    @property
    def total(self) -> Interval:
        """All ways together [W]."""
        parts = (self.evaporation, self.surface, self.walls)
        return Interval(
            sum(part.low for part in parts),
            sum(part.best for part in parts),
            sum(part.high for part in parts),
        )


def heat_loss(shell: TankShell, bath_temperature: float, room: Room) -> HeatLoss:
    """What a tank at `bath_temperature` [K] loses to the room; covered surface counts as wall."""
    vapour = evaporation_rate(bath_temperature, room, water_activity=shell.water_activity)
    open_area = shell.surface_area * shell.open_fraction
    covered = shell.surface_area - open_area
    difference = bath_temperature - room.temperature
    dry = open_area * difference * _film(difference, _above_surface(difference), room)
    walls = (shell.wall_area + covered) * wall_loss(
        bath_temperature, room, shell.wall_resistance, shell.wall_height
    )
    return HeatLoss(
        evaporation=vapour.heat_flux.scaled(open_area),
        surface=Interval.about(dry, WALL_ERROR),
        walls=Interval.about(walls, WALL_ERROR),
        water=vapour.rate.scaled(open_area),
    )


def wall_loss(bath_temperature: float, room: Room, resistance: float, height: float) -> float:
    """Heat through a wall [W m⁻²] of a resistance [m² K W⁻¹], to free air over `height` [m].

    The outside temperature is found by halving: what comes through the wall leaves into the air.
    """
    difference = bath_temperature - room.temperature
    if resistance == 0.0 or difference == 0.0:
        return difference * _film(difference, _beside_wall(difference, height), room)
    cold, hot = 0.0, 1.0  # share of the difference that lies across the air outside
    for _ in range(_HALVINGS):
        share = (cold + hot) / 2.0
        outside = share * difference
        leaving = outside * _film(outside, _beside_wall(outside, height), room)
        if abs(leaving) > abs((difference - outside) / resistance):
            hot = share
        else:
            cold = share
    return difference * (1.0 - (cold + hot) / 2.0) / resistance


def holding_power(shell: TankShell, bath_temperature: float, room: Room) -> Interval:
    """Heater power that holds the bath [W]; nothing where the room keeps it warm by itself."""
    total = heat_loss(shell, bath_temperature, room).total
    return Interval(max(total.low, 0.0), max(total.best, 0.0), max(total.high, 0.0))


def warm_up_time(shell: TankShell, start: float, goal: float, power: float, room: Room) -> float:
    """Time [s] in which `power` [W] warms the bath from `start` to `goal` [K], losses included.

    Zero where the bath is warm already. Impossible, saying how warm it gets, where losses win.
    """
    if goal <= start:
        return 0.0
    if power <= heat_loss(shell, goal, room).total.best:
        reached = steady_temperature(shell, power, room)
        raise Impossible(
            "{power:.0f} W warm this tank to {reached} at most, not to {goal}; cover the surface, "
            "lag the walls, or heat with more",
            power=power,
            reached=Quantity(reached, "degC", decimals=1),
            goal=Quantity(goal, "degC", decimals=1),
        )
    step = (goal - start) / _STEPS
    return sum(
        shell.thermal_mass
        * step
        / (power - heat_loss(shell, start + (number + 0.5) * step, room).total.best)
        for number in range(_STEPS)
    )


def steady_temperature(shell: TankShell, power: float, room: Room) -> float:
    """Temperature [K] at which losses equal a power [W] put in, up to 95 °C.

    Below the room's where evaporation cools an unheated bath. Impossible beyond 95 °C.
    """
    if power < 0.0:
        raise BadInput("a heater's power is not negative, as {power} W", power=power)
    cold, hot = 273.15, 368.15
    if heat_loss(shell, hot, room).total.best < power:
        raise Impossible("{power:.0f} W bring this bath to the boil; heat with less", power=power)
    for _ in range(_HALVINGS):
        middle = (cold + hot) / 2.0
        if heat_loss(shell, middle, room).total.best < power:
            cold = middle
        else:
            hot = middle
    return (cold + hot) / 2.0


def ohmic_heat(current: float, voltage: float) -> float:
    """Heat [W] that plating puts into the bath: current [A] times the voltage across it [V].

    All of it, because what dissolves at the anode deposits at the cathode and nothing else changes.
    """
    return current * voltage


def temperature_rise(shell: TankShell, energy: float) -> float:
    """By how much an energy [J] warms the bath [K] where nothing is lost."""
    return energy / shell.thermal_mass


def _film(difference: float, convection: float, room: Room) -> float:
    """Convection and radiation together at a surface that far above the room [W m⁻² K⁻¹]."""
    hot, cold = room.temperature + difference, room.temperature
    radiation = STEFAN_BOLTZMANN * (hot**2 + cold**2) * (hot + cold)
    return convection + parameter("emissivity").best * radiation


def _beside_wall(difference: float, height: float) -> float:
    laminar = parameter("wall_convection_laminar").best * (abs(difference) / height) ** 0.25
    turbulent = parameter("wall_convection_turbulent").best * abs(difference) ** (1.0 / 3.0)
    return float(max(laminar, turbulent))


def _above_surface(difference: float) -> float:
    return float(parameter("surface_convection").best * abs(difference) ** (1.0 / 3.0))
