"""Use cases: prices that the store remembers, and what a request for a run's costs leaves unsaid.

A price is an entry of the costs that spends nothing and whose words are the price; so it is only
ever added, goes into every export, and the page and the command line have one memory.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from tankside.app.cost_a_run import PRICES, CostRequest, check_prices, currency_of
from tankside.app.keep.keep_costs import PRICE, SUMS, spent_of
from tankside.app.store_ports import Store
from tankside.app.store_records import Cost, Kept, RunRecord


def keep_prices(store: Store, typed: Mapping[str, str], at: float) -> None:
    """From now on these, at a moment [s since 1970]; those not named stay as they are, "" forgets
    one, and one in another currency leaves the others of before behind. BadInput, placed at the
    price, where one cannot be read."""
    given = {name: " ".join(text.split()) for name, text in typed.items()}
    named = check_prices({name: given.get(name, "") for name in PRICES})
    held = {entry.what.removeprefix(PRICE): entry for entry in _entries(store)}
    currency = next((one for _, one in named.values() if one), "")
    store.add_costs(
        tuple(
            Cost(
                id=f"{PRICE}{name} {at!r}",
                at=at,
                what=f"{PRICE}{name}",
                amount=Decimal(0),
                currency=currency or held[name].currency,
                words=text,
            )
            for name, text in given.items()
            if text != (held[name].words if name in held else "")
            or (text and held[name].currency != currency)
        )
    )


def remembered_prices(store: Store, currency: str = "") -> dict[str, str]:
    """The prices as they were typed last, in a currency, or else in that of the last of them; ""
    where none is known."""
    found = dict.fromkeys(PRICES, "")
    entries = _entries(store)
    wanted = currency or (entries[-1].currency if entries else "")
    for entry in entries:
        name = entry.what.removeprefix(PRICE)
        if name in found:
            found[name] = entry.words if entry.currency == wanted else ""
    return found


def completed(store: Store, run: Kept[RunRecord], request: CostRequest) -> CostRequest:
    """The request with what it does not say: prices as they are remembered, in its own currency
    where it names one, and amounts as they were kept of this run. An amount of nothing, such as
    "0 min", takes back."""
    known = {**remembered_prices(store, currency_of(request)), **spent_of(store, run.id)}
    unsaid: dict[str, Any] = {
        name: text
        for name, text in known.items()
        if name not in SUMS and not getattr(request, name)
    }
    unsaid |= {name: float(known[name] or 0) for name in SUMS if getattr(request, name) is None}
    return replace(request, **unsaid)


def _entries(store: Store) -> tuple[Cost, ...]:
    return tuple(entry for entry in store.costs() if entry.what.startswith(PRICE))
