"""The smallest set of actions that brings the bath into its window with a stated probability.

Do nothing, where that is enough; else the fewest actions, the least withdrawn, the cheapest, and
the same bottles for the greatest certainty, side by side with what each costs and wastes. Where
nothing at hand is enough, the closest comes with the reason: mostly that a quantity is not known
well enough, and then a measurement is worth more than any dose. Additives are not dosed here (see
additive.py).
"""

from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import capital, said
from tankside.base.wording import term
from tankside.bath.dosing.outcome import Action, Add, Bench, Withdraw, bench_of, together
from tankside.bath.dosing.search import Found, Wish, searched
from tankside.bath.dosing.shelf import Item
from tankside.bath.inventory.bath_estimate import BathEstimate, normal_quantile, place_of
from tankside.bath.inventory.contents import ACID
from tankside.bath.inventory.windows import Windows

_LITTLE = 1e-3
"""Weight of what only decides between equals."""

_ACIDIC = 0.02
"""Acid that a kilogram of product brings or takes from which on it matters to the hands [kg]."""

_SURE = 3.0
"""Standard deviations that make a present volume a sure one."""

_WISHES = {
    said("fewest actions"): Wish(count=1.0, waste=0.1, cost=_LITTLE),
    said("least withdrawn"): Wish(count=_LITTLE, waste=1.0),
    said("cheapest"): Wish(count=_LITTLE, waste=0.1, cost=1.0),
}

_SHOWN = {
    "copper": said("copper"),
    "sulfuric_acid": said("acid"),
    "chloride": said("chloride"),
    "volume": said("volume"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to go.

    words           what it is best in
    actions         in the order in which they are done
    cost            of the products, None where a price is not known
    withdrawn       bath taken out, to be kept or handed over [m³]
    ends            each windowed quantity after it, nine in ten
    probabilities   of each being inside its window [-]
    probability     at least, of all being inside at once [-]
    meets           True where that is what was asked for
    cautions        what to heed before each step
    """

    words: str
    actions: tuple[Action, ...]
    cost: float | None
    currency: str
    withdrawn: float
    ends: dict[str, Interval]
    probabilities: dict[str, float]
    probability: float
    meets: bool
    cautions: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many things there are to do."""
        return len(self.actions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Options, the first the one to take if nothing else speaks against it, and what to know."""

    options: tuple[Option, ...]
    notes: tuple[str, ...]


def advised(
    estimate: BathEstimate,
    windows: Windows,
    shelf: tuple[Item, ...],
    *,
    capacity: float,
    least_volume: float | None = None,
    probability: float = 0.9,
) -> Advice:
    """What to do about the bath.

    `capacity` [m³] is what the tank may hold, `least_volume` [m³] what it must, or the present
    volume. BadInput for windows of an additive, for empty ones, and for a probability that is none.
    """
    if least_volume is None:
        present, std = estimate.best("volume"), estimate.std("volume")
        least_volume = min(present, capacity) - _SURE * std - _LITTLE * present
    _check(windows, shelf, capacity, least_volume, probability)
    bench = bench_of(estimate, shelf)
    whole = {**windows, "volume": (least_volume, capacity)}
    nothing = _option(said("do nothing"), bench, (), whole, probability)
    if nothing.meets:
        return Advice(options=(nothing,), notes=())
    options: dict[tuple[Action, ...], Option] = {}
    for words, wish in _WISHES.items():
        if words == "cheapest" and not _priced(shelf):
            continue
        if words == "least withdrawn" and any(one.withdrawn == 0.0 for one in options.values()):
            continue
        found = searched(bench, whole, probability, wish)
        if found is not None and found.probability >= probability:
            options.setdefault(
                found.actions, _option(words, bench, found.actions, whole, probability)
            )
    if not options:
        return _out_of_reach(bench, windows, whole, probability, nothing)
    surer = _surer(bench, whole, probability, next(iter(options.values())))
    if surer is not None:
        options.setdefault(surer.actions, surer)
    return Advice(options=(*options.values(), nothing), notes=())


def _check(
    windows: Windows,
    shelf: tuple[Item, ...],
    capacity: float,
    least_volume: float,
    probability: float,
) -> None:
    if not 0.5 <= probability < 1.0:
        raise BadInput(
            "the probability asked for lies from 0.5 to below 1, not {probability:g}; 0.9 is usual",
            probability=probability,
        )
    for name, (low, high) in windows.items():
        place_of(name)
        if name == "additive":
            raise BadInput(
                "an additive is not dosed by the ledger alone; let ampere-hours propose and a test "
                "panel decide"
            )
        if not 0.0 <= low < high:
            raise BadInput(
                "the window of {name} is empty: {low:g} to {high:g}",
                name=name,
                low=low,
                high=high,
                where=name,
            )
    if not 0.0 <= least_volume < capacity:
        raise BadInput("the tank's least volume is below its capacity, both in m³")
    names = [item.product.name for item in shelf]
    if len(set(names)) < len(names):
        raise BadInput("two items of the shelf have the same name; give each bottle its own")


def _option(
    words: str, bench: Bench, actions: tuple[Action, ...], windows: Windows, probability: float
) -> Option:
    outcome = bench.after(actions)
    probabilities = outcome.probabilities(windows)
    reached = together(probabilities)
    added = [one for one in actions if isinstance(one, Add)]
    products = {item.product.name: item.product for item in bench.items}
    prices = [products[one.product].cost_per_kg for one in added]
    cost = sum(p * one.mass for p, one in zip(prices, added, strict=True) if p is not None)
    return Option(
        words=words,
        actions=actions,
        cost=None if None in prices else cost,
        currency=next((p.currency for p in products.values() if p.currency), ""),
        withdrawn=sum(one.volume for one in actions if isinstance(one, Withdraw)),
        ends={name: outcome.interval(name) for name in windows},
        probabilities=probabilities,
        probability=reached,
        meets=reached >= probability,
        cautions=_cautions(bench, actions),
    )


def _cautions(bench: Bench, actions: tuple[Action, ...]) -> tuple[str, ...]:
    minded = []
    if any(isinstance(one, Withdraw) for one in actions):
        minded.append(
            term(
                "What is withdrawn holds copper and acid: keep it, labelled, for a later make-up, "
                "or hand it to your local waste service; it never goes down a drain."
            )
        )
    added = [one.product for one in actions if isinstance(one, Add)]
    if any(bench.shop.effects[name].best[ACID] > _ACIDIC for name in added):
        minded.append(
            term(
                "Goggles, gloves and air before the acid; it goes into the bath last, in small "
                "portions with stirring, and never water into acid."
            )
        )
    if any(bench.shop.effects[name].best[ACID] < -_ACIDIC for name in added):
        minded.append(
            term(
                "Oxide or carbonate dissolves slowly and warms or foams the bath: a spoon at a "
                "time, each one gone before the next."
            )
        )
    return tuple(minded)


def _priced(shelf: tuple[Item, ...]) -> bool:
    return any((item.product.cost_per_kg or 0.0) > 0.0 for item in shelf)


def _surer(bench: Bench, windows: Windows, probability: float, first: Option) -> Option | None:
    """The same bottles as the first option, as far inside as they reach."""
    wish = Wish(
        slack=1.0,
        waste=_LITTLE,
        may_withdraw=first.withdrawn > 0.0,
        only=frozenset(one.product for one in first.actions if isinstance(one, Add)),
    )
    found = searched(bench, windows, probability, wish)
    if found is None or found.probability <= first.probability:
        return None
    return _option(said("the same bottles, as sure as they get"), bench, found.actions, windows,
                   probability)  # fmt: skip


def _out_of_reach(
    bench: Bench, windows: Windows, whole: Windows, probability: float, nothing: Option
) -> Advice:
    """The closest that can be had, and why it is not enough."""
    found: Found | None = searched(bench, whole, probability, Wish(slack=1.0, count=_LITTLE))
    options = [nothing]
    if found is not None and found.probability > nothing.probability:
        options.insert(0, _option(said("the closest"), bench, found.actions, whole, probability))
    closest = options[0]
    z = normal_quantile(1.0 - (1.0 - probability) / len(whole))
    notes = []
    for name, (low, high) in windows.items():
        wide = 2.0 * z * bench.after(closest.actions).std(name)
        if wide > high - low:
            notes.append(
                capital(
                    said(
                        "{name} is not known well enough for its window, whatever is added: "
                        "measure it first.",
                        name=_SHOWN[name],
                    )
                )
            )
    if not notes:
        worst = min(closest.probabilities, key=lambda name: closest.probabilities[name])
        notes.append(
            said(
                "Nothing on the shelf brings {name} inside with {chance} % in portions that can be "
                "measured; another product, a dilution of it, or more room in the tank is needed.",
                name=_SHOWN[worst],
                chance=f"{100 * probability:.0f}",
            )
        )
    return Advice(options=tuple(options), notes=tuple(notes))
