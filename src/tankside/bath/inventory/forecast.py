"""Where the bath is heading: when each quantity leaves its window, and how sure that is.

A week of the shop's usual work (current, parts, warm hours, idle anodes, water up to the mark) is
let happen again and again to the estimate, with the parameters that the ledger has taught and their
uncertainty. The date of leaving is the time at which the probability of being outside passes 5, 50
and 95 %: most of the uncertainty is in rates that stay the same, so that who is out stays out.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import (
    QUANTITIES,
    BathEstimate,
    inside,
    log_inside,
    place_of,
    quantities_of,
)
from tankside.bath.inventory.propagation import DAY, Course, Shop
from tankside.bath.inventory.shop import with_hours, with_products
from tankside.bath.inventory.steps import through
from tankside.bath.inventory.volumes import specific_volumes
from tankside.bath.inventory.windows import Windows
from tankside.substances.products import Product

WEEK = 7.0 * DAY

_EARLY, _LIKELY, _LATE = 0.05, 0.5, 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeklyUse:
    """A usual week.

    charge             passed to the parts [C]
    area               wetted area of parts lifted out [m²]
    open_duration      the bath stands open at `temperature` [s]
    temperature        [K]
    surface_area       of the open liquid [m²]
    idle_duration      anodes stand in the bath without current [s]
    anode_area         [m²]
    water              that the tank is filled up with to its mark, every week
    """

    charge: float
    area: float
    water: Product
    open_duration: float = 0.0
    temperature: float = 298.15
    surface_area: float = 0.0
    room_temperature: float = 295.15
    relative_humidity: float = 0.5
    idle_duration: float = 0.0
    anode_area: float = 0.0

    def __post_init__(self) -> None:
        for name in ("charge", "area", "open_duration", "surface_area", "idle_duration",
                     "anode_area"):  # fmt: skip
            if not getattr(self, name) >= 0.0:
                raise BadInput(
                    "a week's {name} is zero or more", name=name.replace("_", " "), where=name
                )
        for name in ("open_duration", "idle_duration"):
            if getattr(self, name) > WEEK * (1.0 + 1e-9):
                raise BadInput("a week has 168 hours", where=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """When a quantity leaves its window [s since 1970-01-01 UTC], None where not by the horizon.

    side              "below" or "above", whichever is likelier at the horizon
    earliest, likely, latest   when it is outside with 5, 50 and 95 %
    probability_now, probability_then   of being outside now and at the horizon [-]
    """

    quantity: str
    side: str
    earliest: float | None
    likely: float | None
    latest: float | None
    probability_now: float
    probability_then: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """The bath week by week.

    at            times, the first that of the estimate [s since 1970-01-01 UTC], (weeks + 1,)
    mean, std     of QUANTITIES at each [kg m⁻³, m³], (weeks + 1, 5)
    leaving       one for each quantity with a window
    top_up        water poured in over the time [kg]
    sensitivity   derivative of the last row of `mean` by the state now, (5, state)
    shop, state, covariance   what the forecast began with
    """

    at: Floats
    mean: Floats
    std: Floats
    leaving: tuple[Leaving, ...]
    top_up: float
    sensitivity: Floats
    shop: Shop
    state: Floats
    covariance: Floats

    def interval(self, name: str, week: int = -1) -> Interval:
        """Nine in ten of a quantity at a week, not below zero."""
        place = place_of(name)
        mean, std = float(self.mean[week, place]), float(self.std[week, place])
        low, high = mean - NINE_IN_TEN * std, mean + NINE_IN_TEN * std
        return Interval(max(low, 0.0), max(mean, 0.0), max(high, 0.0))


def forecast(
    estimate: BathEstimate, use: WeeklyUse, windows: Windows, *, weeks: int = 52
) -> Forecast:
    """The bath over so many weeks of the same use; the tank is kept at its present level."""
    if weeks < 1:
        raise BadInput("a forecast is over one week or more, not {weeks}", weeks=weeks)
    shop, state, covariance = with_products(
        estimate.shop,
        estimate.state,
        estimate.state_covariance,
        {use.water.name: (use.water, False)},
    )
    events = _events(use)
    shop = with_hours(shop, [e for e in events if isinstance(e, ev.Evaporation)])
    start, start_covariance = state, covariance
    level = float(estimate.free_mean[place_of("volume")])
    through, poured = np.eye(shop.size), 0.0
    means, stds = [], []
    for week in range(weeks + 1):
        mean, spread, slope = quantities_of(state, covariance, shop.priors.temperature)
        means.append(mean)
        stds.append(np.sqrt(np.maximum(np.diag(spread), 0.0)))
        if week < weeks:
            state, transition, noise, filled = _week(state, events, level, use.water.name, shop)
            covariance = transition @ covariance @ transition.T
            covariance[:5, :5] += noise
            through, poured = transition @ through, poured + filled
    at = estimate.at + WEEK * np.arange(weeks + 1)
    return Forecast(
        at=frozen_floats(at),
        mean=frozen_floats(means),
        std=frozen_floats(stds),
        leaving=tuple(
            _leaving(name, ends, frozen_floats(at), frozen_floats(means), frozen_floats(stds))
            for name, ends in windows.items()
        ),
        top_up=poured,
        sensitivity=frozen_floats(slope @ through),
        shop=shop,
        state=frozen_floats(start),
        covariance=frozen_floats(start_covariance),
    )


def _events(use: WeeklyUse) -> tuple[ev.Event, ...]:
    held: list[ev.Event] = [
        ev.AmpereHours(at=0.0, id="charge of a week", charge=use.charge),
        ev.DragOut(at=0.0, id="parts of a week", area=use.area),
        ev.Idle(at=0.0, id="idle hours", duration=use.idle_duration, anode_area=use.anode_area),
    ]
    if use.open_duration * use.surface_area > 0.0:
        held.append(
            ev.Evaporation(
                at=0.0,
                id="open hours",
                duration=use.open_duration,
                temperature=use.temperature,
                surface_area=use.surface_area,
                room_temperature=use.room_temperature,
                relative_humidity=use.relative_humidity,
            )
        )
    return tuple(held)


def _week(
    state: Floats, events: tuple[ev.Event, ...], level: float, water: str, shop: Shop
) -> tuple[Floats, Floats, Floats, float]:
    """State, transition and noise after a week, and the water poured [kg]."""
    nu = specific_volumes(state[:5], shop.priors.temperature)
    course = Course(state, nu, shop, shop.parameters(state))
    for event in events:
        through(course, event)
    poured = course.filled_to(level, water, shop.numbers["level_reading"] * level)
    course.aged(WEEK)
    transition = np.eye(state.size)
    transition[:5] = course.slopes
    return np.concatenate([course.masses, state[5:]]), transition, course.noise, poured


def _leaving(
    name: str, ends: tuple[float, float], at: Floats, means: Floats, stds: Floats
) -> Leaving:
    place = place_of(name)
    law = log_inside if QUANTITIES[place] == "additive" else inside
    rows = [(float(m), float(s)) for m, s in zip(means[:, place], stds[:, place], strict=True)]
    outside = np.array([1.0 - law(mean, std, *ends) for mean, std in rows])
    low, high = (law(*rows[-1], *span) for span in ((0.0, ends[0]), (ends[1], np.inf)))
    return Leaving(
        quantity=name,
        side="below" if low >= high else "above",
        earliest=_crossing(at, outside, _EARLY),
        likely=_crossing(at, outside, _LIKELY),
        latest=_crossing(at, outside, _LATE),
        probability_now=float(outside[0]),
        probability_then=float(outside[-1]),
    )


def _crossing(at: Floats, outside: Floats, share: float) -> float | None:
    """When the probability first passes `share`, straight between two weeks."""
    beyond = np.flatnonzero(outside >= share)
    if beyond.size == 0:
        return None
    first = int(beyond[0])
    if first == 0:
        return float(at[0])
    before, after = outside[first - 1], outside[first]
    return float(at[first - 1] + (share - before) / (after - before) * (at[first] - at[first - 1]))
