"""What happens to a bath, as events that are only ever added.

Each event is a frozen value with a time `at` [s since 1970-01-01 UTC] and an `id` of its own. A
ledger is a tuple of them; a mistake is not edited but retracted by a later event. Amounts are what
the person poured, weighed or read: what they did to the bath is worked out anew at every replay.

Simultaneous events count in one fixed order (`ordered`): what led up to the moment (current, idle
hours, evaporation, drag-out), then the sample that was drawn, then what was done about it (losses,
withdrawals, carbon, additions, top-ups). So the order of lines cannot matter.
"""

from dataclasses import dataclass
from math import isfinite

from tankside.base.errors import BadInput
from tankside.base.wording import term
from tankside.bath.analysis.finding import Finding
from tankside.substances.products import Product


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something that happened at `at` [s since 1970-01-01 UTC], known by its `id`."""

    at: float
    id: str

    def __post_init__(self) -> None:
        if not isfinite(self.at):
            raise BadInput("an event needs a time, not {at}", at=self.at, where=self.id)
        if not self.id:
            raise BadInput("an event needs an id that no other event has")
        self.check()

    def check(self) -> None:
        """BadInput where an amount cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottle(Event):
    """A product comes on the shelf with its label; portions name it.

    additive   True where it is a brightener or the like, followed as a mass of product
    """

    product: Product
    additive: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A mass [kg] of a product; `mass_std` is the scale's error [kg], None for the usual one."""

    product: str
    mass: float
    mass_std: float | None = None

    def __post_init__(self) -> None:
        _at_least_zero(self.product, "mass", self.mass, "kg")
        _optional(self.product, "error of the mass", self.mass_std, "kg")


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeUp(Event):
    """Products and water go into the tank. `level_volume` [m³] is what the tank then holds, read at
    its mark to within `level_std` [m³]."""

    portions: tuple[Portion, ...]
    level_volume: float | None = None
    level_std: float | None = None

    def check(self) -> None:
        if not self.portions:
            raise BadInput("a make-up needs at least one portion", where=self.id)
        _level(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOver(Event):
    """The ledger begins with a bath that exists already, as well as it is known.

    volume          of the bath [m³], with its standard deviation `volume_std`
    copper          as metal [kg m⁻³], `copper_std` likewise
    sulfuric_acid   [kg m⁻³]
    chloride        [kg m⁻³]
    additive        product in the bath [kg m⁻³]
    """

    volume: float
    volume_std: float
    copper: float
    copper_std: float
    sulfuric_acid: float
    sulfuric_acid_std: float
    chloride: float = 0.0
    chloride_std: float = 0.0
    additive: float = 0.0
    additive_std: float = 0.0

    def check(self) -> None:
        _above_zero(self.id, "volume of a bath", self.volume, "m³")
        for name in ("copper", "sulfuric_acid", "chloride", "additive"):
            _at_least_zero(self.id, name.replace("_", " "), getattr(self, name), "kg/m³")
        for name in ("volume", "copper", "sulfuric_acid", "chloride", "additive"):
            _at_least_zero(self.id, f"error of {name}", getattr(self, f"{name}_std"), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition(Event):
    """A weighed mass [kg] of a product goes in; `mass_std` [kg] as in `Portion`."""

    product: str
    mass: float
    mass_std: float | None = None

    def check(self) -> None:
        _at_least_zero(self.id, "mass of an addition", self.mass, "kg")
        _optional(self.id, "error of the mass", self.mass_std, "kg")


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUp(Event):
    """Water of a kind (a product's name) is poured in: `volume` [m³], to within `volume_std`.

    `level_volume` [m³] is what the tank then holds, if its mark was read.
    """

    water: str
    volume: float
    volume_std: float | None = None
    level_volume: float | None = None
    level_std: float | None = None

    def check(self) -> None:
        _at_least_zero(self.id, "volume of a top-up", self.volume, "m³")
        _optional(self.id, "error of the volume", self.volume_std, "m³")
        _level(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evaporation(Event):
    """Water went into the air before `at`: modelled, or read off the level, or both.

    duration            time at this temperature [s]; zero where only the level is known
    temperature         of the bath meanwhile [K]
    surface_area        of the open liquid [m²]
    room_temperature    [K]
    relative_humidity   of the room [-]
    level_volume        what the tank then holds [m³]
    """

    duration: float = 0.0
    temperature: float = 298.15
    surface_area: float = 0.0
    room_temperature: float = 295.15
    relative_humidity: float = 0.5
    level_volume: float | None = None
    level_std: float | None = None

    def check(self) -> None:
        _at_least_zero(self.id, "duration", self.duration, "s")
        _at_least_zero(self.id, "open surface", self.surface_area, "m²")
        if self.level_volume is None and not self.duration * self.surface_area > 0.0:
            raise BadInput(
                "evaporation needs hours and an open surface, or the level that was read",
                where=self.id,
            )
        _level(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class DragOut(Event):
    """Parts of a total wetted `area` [m²] were lifted out, with the film they carried.

    `parts` is kept for the record; the film goes by the area.
    """

    area: float
    parts: int = 1

    def check(self) -> None:
        _at_least_zero(self.id, "wetted area", self.area, "m²")
        if self.parts < 1:
            raise BadInput(
                "drag-out is of one part or more, not {parts}", parts=self.parts, where=self.id
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class AmpereHours(Event):
    """A charge [C] passed from soluble copper anodes to the parts."""

    charge: float

    def check(self) -> None:
        _at_least_zero(self.id, "charge", self.charge, "C")


@dataclass(frozen=True, slots=True, kw_only=True)
class Idle(Event):
    """Anodes of an `anode_area` [m²] stood in the bath without current for a `duration` [s]."""

    duration: float
    anode_area: float

    def check(self) -> None:
        _at_least_zero(self.id, "duration", self.duration, "s")
        _at_least_zero(self.id, "anodes' area", self.anode_area, "m²")


@dataclass(frozen=True, slots=True, kw_only=True)
class Analysis(Event):
    """A sample was drawn and gave these findings."""

    findings: tuple[Finding, ...]

    def check(self) -> None:
        if not self.findings:
            raise BadInput("an analysis needs at least one finding", where=self.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carbon(Event):
    """The bath went over activated carbon, which takes most of the additive."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal(Event):
    """A measured `volume` [m³] of bath was taken out, to within `volume_std` [m³]."""

    volume: float
    volume_std: float | None = None

    def check(self) -> None:
        _at_least_zero(self.id, "volume", self.volume, "m³")
        _optional(self.id, "error of the volume", self.volume_std, "m³")


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss(Event):
    """About this `volume` [m³] of bath was spilled or leaked, to within `volume_std` [m³]."""

    volume: float
    volume_std: float | None = None

    def check(self) -> None:
        _at_least_zero(self.id, "volume", self.volume, "m³")
        _optional(self.id, "error of the volume", self.volume_std, "m³")


@dataclass(frozen=True, slots=True, kw_only=True)
class Retraction(Event):
    """The event with the id `of` was entered by mistake and does not count."""

    of: str
    reason: str = ""


Ledger = tuple[Event, ...]
"""All that was ever noted of one bath."""

RANK: tuple[type[Event], ...] = (
    Retraction, Bottle, TakeOver, MakeUp, AmpereHours, Idle, Evaporation, DragOut, Analysis, Loss,
    Withdrawal, Carbon, Addition, TopUp,
)  # fmt: skip
"""In which order events of the same moment count."""


def ordered(ledger: Ledger) -> Ledger:
    """The events that count, in the order in which they count; retracted ones are left out.

    BadInput where two events share an id or a retraction names none.
    """
    ids: set[str] = set()
    for event in ledger:
        if event.id in ids:
            raise BadInput(
                "two events have the id {event!r}; retract one under a new id", event=event.id
            )
        ids.add(event.id)
    retracted = {event.of for event in ledger if isinstance(event, Retraction)}
    unknown = retracted - ids
    if unknown:
        raise BadInput(
            "a retraction names the event {unknown!r}, which is not in the ledger",
            unknown=min(unknown),
        )
    held = (e for e in ledger if e.id not in retracted and not isinstance(e, Retraction))
    rank = {kind: number for number, kind in enumerate(RANK)}
    return tuple(sorted(held, key=lambda event: (event.at, rank[type(event)], event.id)))


def _level(event: MakeUp | TopUp | Evaporation) -> None:
    if event.level_volume is not None:
        _above_zero(event.id, "volume read at the level", event.level_volume, "m³")
    elif event.level_std is not None:
        raise BadInput("an error of the level is given without the level", where=event.id)
    if event.level_std is not None:
        _above_zero(event.id, "error of the level", event.level_std, "m³")


def _at_least_zero(where: str, what: str, value: float, unit: str) -> None:
    if not (isfinite(value) and value >= 0.0):
        raise BadInput(
            "the {what} is zero or more, not {given}",
            what=term(what),
            given=f"{value:g} {unit}".rstrip(),
            where=where,
        )


def _above_zero(where: str, what: str, value: float, unit: str) -> None:
    if not (isfinite(value) and value > 0.0):
        raise BadInput(
            "the {what} is above zero, not {given}",
            what=term(what),
            given=f"{value:g} {unit}".rstrip(),
            where=where,
        )


def _optional(where: str, what: str, value: float | None, unit: str) -> None:
    if value is not None:
        _at_least_zero(where, what, value, unit)
