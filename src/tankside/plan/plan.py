"""A plan as a value: what to set, how long, and what will come of it, with what it stands on.

Everything here is computed elsewhere in this room; faces and sheets only read it.
"""

from dataclasses import dataclass
from enum import Enum

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.intervals import Interval
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Body, Cell
from tankside.plan.start import SeedStart


class MeasuredAt(Enum):
    """Where on the part the goal's thickness is to be reached."""

    MEAN = "mean"
    THINNEST_5_PERCENT = "thinnest 5 percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """thickness [m] to reach at `measured_at`; the person's own total current [A], or own mean
    current density over all that plates [A m⁻²], or neither, and then the planner chooses."""

    thickness: float
    measured_at: MeasuredAt = MeasuredAt.MEAN
    current: float | None = None
    current_density: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """Limits of the bench supply [A], [V], and the resistance of its leads and clips [ohm]."""

    current_limit: float
    voltage_limit: float
    lead_resistance: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """Air over the tank: temperature [K], relative humidity [-], and whether a lid is on."""

    air_temperature: float = 293.15
    relative_humidity: float = 0.5
    covered: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Area-weighted statistics over the part; percentiles by area."""

    mean: float
    minimum: float
    p05: float
    p95: float
    maximum: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageSplit:
    """The cell's voltage and its parts [V], all positive, adding up to `total`."""

    total: float
    anode: float
    solution: float
    cathode: float
    leads: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AnodeLoad:
    """One anode: current [A], wet area [m²], mean and highest (95 % by area) current density
    [A m⁻²], copper it gives up [kg], and whether it may go passive."""

    number: int
    current: float
    area: float
    mean_current_density: float
    p95_current_density: float
    copper_used: float
    may_go_passive: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WireLoad:
    """One contact wire: current carried to the part and taken by itself [A], current density in
    its metal [A m⁻²], voltage lost along it [V], copper grown on it [kg], and a remark or ""."""

    number: int
    carried_current: float
    own_current: float
    metal_current_density: float
    voltage_drop: float
    copper_gained: float
    remark: str

    @property
    def heat(self) -> float:
        """Joule heat along it, at most [W]: as if all its current went the whole way."""
        return self.voltage_drop * (self.carried_current + self.own_current)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatBalance:
    """Power put into the bath by the current [W]; power lost at bath temperature without a lid and
    as rigged [W]; heater power to hold [W]; energy to warm up from the room [J]; water lost over
    the run [kg]; each an interval where it rests on a correlation."""

    ohmic_power: float
    loss: Interval
    holding_power: Interval
    warm_up_energy: float
    water_lost: Interval


@dataclass(frozen=True, kw_only=True)
class BodyResult:
    """A body and the field on its panels, in the order of body.surface.triangles.

    current_density [A m⁻²] positive in deposition; fraction_of_limit [-]; thickness [m], negative
    where an anode has worn; zeros on insulating bodies.
    """

    body: Body
    current_density: Floats
    fraction_of_limit: Floats
    thickness: Floats

    def __post_init__(self) -> None:
        for name in ("current_density", "fraction_of_limit", "thickness"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    @property
    def label(self) -> str:
        """Role and number, such as "part 1"."""
        return f"{self.body.role.value} {self.body.number}"


@dataclass(frozen=True, kw_only=True)
class CourseMoment:
    """A moment of the growth, `time` [s] from switch-on: every body and the field on it then."""

    time: float
    results: tuple[BodyResult, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Balances:
    """Charge: |cathode + anode current| over the supply's. Mass: copper on the cathodes against
    Faraday's law of their copper current, relative. Closure: the operators' own check."""

    charge_balance: float
    mass_balance: float
    closure: float


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The whole answer. SI throughout.

    current [A], duration [s], charge [C]; copper_mass [kg] on everything that plates, and
    copper_on_part; part_area [m²] and cathode_area (with wires and thieves)
    current_density, thickness    over the part
    thickness_interval            of the mean, thinnest place and thinnest 5 percent
    voltage, voltage_interval     at the supply's terminals
    limited_by                    one sentence: what keeps the current from being higher
    burning_area_fraction         of the part's area at or above the limit of copper [-]
    rough_area_fraction           at or above the onset of roughness [-]
    bare_area_fraction            of the part's area under 1 µm, where copper does not cover [-]
    growth_of_size                added to a dimension between two opposite faces, mean [m]
    start                         of a part that conducts only through a coat; None for solid metal
    course                        moments on the way where the field changed; none for solid metal,
                                  whose field stands and whose copper grows evenly in time
    """

    goal: Goal
    cell: Cell
    electrolyte: Electrolyte
    current: float
    duration: float
    charge: float
    copper_mass: float
    copper_on_part: float
    part_area: float
    cathode_area: float
    current_density: Spread
    thickness: Spread
    thickness_mean_interval: Interval
    thickness_minimum_interval: Interval
    thickness_p05_interval: Interval
    voltage: VoltageSplit
    voltage_interval: Interval
    limited_by: str
    burning_area_fraction: float
    rough_area_fraction: float
    bare_area_fraction: float
    growth_of_size: float
    wagner_number: float
    anodes: tuple[AnodeLoad, ...]
    wires: tuple[WireLoad, ...]
    thief_current: float
    heat: HeatBalance
    balances: Balances
    results: tuple[BodyResult, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    warnings: tuple[str, ...] = ()
    start: SeedStart | None = None
    course: tuple[CourseMoment, ...] = ()

    @property
    def panels(self) -> int:
        """Number of panels of all bodies."""
        return sum(len(result.thickness) for result in self.results)
