"""What a plated panel says: at which current densities one look gives way to the next.

Each end of a zone is a current density by the field and by the formula; what is told spans both,
the error of the mark and that of the ammeter. An end at the panel's own edge is no limit: then the
look goes on to at least the last current density that the panel shows.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.diagnosis.panel.along import USUAL_WAGNER, Along, current_along
from tankside.diagnosis.panel.cell import SlantedCell
from tankside.diagnosis.panel.shape import shares_held
from tankside.diagnosis.panel.zones import MARKING, Look, Zone, checked_zones, told_zones

METER = 0.02
"""Spread of the cell's ammeter, nine times in ten [-] (common practice, no source)."""

SPOILT = frozenset({Look.BURNT, Look.ROUGH})
"""Looks that end the range of use at its high end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelTest:
    """A panel as it was plated and marked.

    current   of the cell [A]
    duration  of plating [s]
    wagner    on the panel's length [-], as far as the bath is known
    name      such as the day, for the trend
    """

    cell: SlantedCell
    current: float
    duration: float
    zones: tuple[Zone, ...]
    wagner: Interval = USUAL_WAGNER
    name: str = said("this panel")

    def __post_init__(self) -> None:
        if not 0.0 < self.current <= 20.0:
            raise BadInput(
                "a panel is plated with up to 20 A, mostly 1 to 3 A, not with {current:g} A",
                current=self.current,
            )
        if not 0.0 < self.duration <= 7200.0:
            raise BadInput(
                "a panel is plated for minutes, mostly 5 or 10, not for {duration:g} min",
                duration=self.duration / 60,
            )
        checked_zones(self.zones, self.cell)


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary:
    """Where a zone begins or ends inside the panel.

    position         on the ruler [m]
    nearer, farther  looks on its high and low current side; None where nothing was marked
    along            both laws at the mark
    current_density  nine times in ten [A m⁻²]
    by_mark          the same by the field's best alone, for comparing panels of one cell: what the
                     laws are unsure of is the same for both [A m⁻²]
    """

    position: Interval
    nearer: Look | None
    farther: Look | None
    along: Along
    current_density: Interval
    by_mark: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelReading:
    """The limits that a panel shows; None where the panel shows none.

    boundaries      all of them, from the high-current edge
    shown           highest and lowest current density that the panel can tell [A m⁻²]
    burnt_above     deposits are spoilt above it
    bright_below    upper end of the widest bright stretch
    bright_above    lower end of it
    bare_below      nothing deposits below it
    has_bright      True where any stretch is bright
    """

    test: PanelTest
    boundaries: tuple[Boundary, ...]
    shown: tuple[Interval, Interval]
    burnt_above: Boundary | None
    bright_below: Boundary | None
    bright_above: Boundary | None
    bare_below: Boundary | None
    has_bright: bool

    @property
    def sentences(self) -> tuple[str, ...]:
        """The limits in words."""
        return tuple(_sentences(self))


def read_panel(test: PanelTest) -> PanelReading:
    """The limits of a marked panel."""
    boundaries = tuple(_boundaries(test))
    bright = _widest_bright(test.zones)
    return PanelReading(
        test=test,
        boundaries=boundaries,
        shown=(_at(test, _ends(test)[0]), _at(test, _ends(test)[1])),
        burnt_above=_last(one for one in boundaries if one.nearer in SPOILT),
        bright_below=None if bright is None else _begun(boundaries, bright),
        bright_above=None if bright is None else _ended(boundaries, bright),
        bare_below=_last(one for one in boundaries if one.farther is Look.BARE),
        has_bright=bright is not None,
    )


def current_density_at(test: PanelTest, position: Interval) -> Interval:
    """The current density at a mark [A m⁻²], nine times in ten."""
    first, last = _ends(test)
    places = [min(max(end, first), last) for end in (position.low, position.best, position.high)]
    near, mid, far = (current_along(test.cell, x, test.current, test.wagner) for x in places)
    low = min(one.either.low for one in (near, mid, far)) * (1.0 - METER)
    high = max(one.either.high for one in (near, mid, far)) * (1.0 + METER)
    return Interval(low, mid.field.best, high)


def _by_mark(test: PanelTest, position: Interval) -> Interval:
    first, last = _ends(test)
    low, best, high = (
        current_along(
            test.cell, min(max(end, first), last), test.current, Interval.exact(test.wagner.best)
        ).field.best
        for end in (position.high, position.best, position.low)
    )
    return Interval(low * (1.0 - METER), best, high * (1.0 + METER))


def _ends(test: PanelTest) -> tuple[float, float]:
    """Between which distances the field is known [m]."""
    first, last = shares_held(test.cell)
    return first * test.cell.length, last * test.cell.length


def _at(test: PanelTest, distance: float) -> Interval:
    return current_density_at(test, Interval.exact(distance))


def _boundaries(test: PanelTest) -> Iterable[Boundary]:
    first, last = _ends(test)
    zones = checked_zones(test.zones, test.cell)
    for position, nearer, farther in _marks(zones):
        if first < position.best < last and nearer is not farther:
            yield Boundary(
                position=position,
                nearer=nearer,
                farther=farther,
                along=current_along(test.cell, position.best, test.current, test.wagner),
                current_density=current_density_at(test, position),
                by_mark=_by_mark(test, position),
            )


def _marks(zones: tuple[Zone, ...]) -> Iterable[tuple[Interval, Look | None, Look | None]]:
    """Ends of zones, those of neighbours that meet taken as one."""
    before: Zone | None = None
    for zone in zones:
        if before is None:
            yield zone.start, None, zone.look
        elif zone.start.best - before.end.best <= MARKING:
            yield _between(before.end, zone.start), before.look, zone.look
        else:
            yield before.end, before.look, None
            yield zone.start, None, zone.look
        before = zone
    if before is not None:
        yield before.end, before.look, None


def _between(first: Interval, second: Interval) -> Interval:
    best = 0.5 * (first.best + second.best)
    return Interval(min(first.low, second.low), best, max(first.high, second.high))


def _widest_bright(zones: tuple[Zone, ...]) -> Zone | None:
    bright = [zone for zone in zones if zone.look is Look.BRIGHT]
    return max(bright, key=lambda zone: zone.end.best - zone.start.best, default=None)


def _begun(boundaries: tuple[Boundary, ...], zone: Zone) -> Boundary | None:
    return _last(
        one
        for one in boundaries
        if one.farther is zone.look and abs(one.position.best - zone.start.best) <= MARKING
    )


def _ended(boundaries: tuple[Boundary, ...], zone: Zone) -> Boundary | None:
    return _last(
        one
        for one in boundaries
        if one.nearer is zone.look and abs(one.position.best - zone.end.best) <= MARKING
    )


def _last(boundaries: Iterable[Boundary]) -> Boundary | None:
    found = list(boundaries)
    return found[-1] if found else None


def _sentences(reading: PanelReading) -> Iterable[str]:
    test = reading.test
    yield (
        said(
            "{name}: {zones}, {current} in the {cell} cell for {duration}",
            name=test.name,
            zones=told_zones(test.zones),
            current=Quantity(test.current, "A"),
            cell=test.cell.name,
            duration=Quantity(test.duration, "min"),
        )
    )
    meet = reading.burnt_above is not None and reading.burnt_above is reading.bright_below
    for words, limit in (
        (
            said("bright below and spoilt above") if meet else said("spoilt above"),
            reading.burnt_above,
        ),
        (said("bright up to"), None if meet else reading.bright_below),
        (said("bright down to"), reading.bright_above),
        (said("bare below"), reading.bare_below),
    ):
        if limit is not None:
            yield said(
                "{words} {limit}, {both}",
                words=words,
                limit=_told(limit.current_density),
                both=_both(limit.along),
            )
    if not reading.has_bright:
        yield said("bright nowhere")
    elif reading.bright_above is None:
        yield said("bright as far down as the panel tells, {told}", told=_told(reading.shown[1]))


def _both(along: Along) -> str:
    there = said(
        "at {distance} the field gives {field}",
        distance=Quantity(along.distance, "cm"),
        field=Quantity(along.field.best, "A/dm^2", 2),
    )
    if along.formula is None:
        return said("{there}, and the published formula fails there", there=there)
    return said(
        "{there} and the published formula {formula} ({more} %)",
        there=there,
        formula=Quantity(along.formula, "A/dm^2", 2),
        more=f"{100 * (along.field.best / along.formula - 1):+.0f}",
    )


def _told(limit: Interval) -> str:
    return said(
        "{best} ({low} to {high})",
        best=Quantity(limit.best, "A/dm^2", 2),
        low=Quantity(limit.low, "A/dm^2", 2, bare=True),
        high=Quantity(limit.high, "A/dm^2", 2, bare=True),
    )
