"""Use case: what runs cost: prices that are remembered, a run's costs kept in the store, and the
sums by month, part and purpose."""

import csv
import io
import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from tankside.app.keep.keep_costs import spends
from tankside.app.work.run_audits import kept_run
from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.cost_a_run import CostReply
    from tankside.app.store_records import Cost
    from tankside.app.work.workplace import Workplace

AMOUNTS = ("heater", "pump", "painted", "hands_on", "chemicals", "scrap")


@dataclass(frozen=True, kw_only=True)
class TypedCosts:
    """What a run used beside copper and plating energy, as typed: energy of heater and pump, the
    painted area, time of hands, and chemicals and scrap in the currency of the prices."""

    heater: str = ""
    pump: str = ""
    painted: str = ""
    hands_on: str = ""
    chemicals: str = ""
    scrap: str = ""


def prices_of(place: "Workplace") -> dict[str, str]:
    """The prices as they were typed; "" where none is known."""
    from tankside.app.keep.keep_prices import remembered_prices

    return remembered_prices(place.store)


def keep_prices(place: "Workplace", typed: Mapping[str, str]) -> None:
    """From now on these and no others; BadInput, placed at the price, where one cannot be read."""
    from tankside.app.cost_a_run import PRICES
    from tankside.app.keep import keep_prices as keep

    keep.keep_prices(place.store, {key: typed.get(key, "") for key in PRICES}, time.time())


def cost_of_run(place: "Workplace", id: str, typed: TypedCosts) -> "CostReply":
    """What a run cost, at the prices that are remembered; nothing is kept."""
    from tankside.app.cost_a_run import CostRequest, cost_a_run
    from tankside.app.show_a_run import show_a_run

    shown = show_a_run(place.runs.order(id), place.runs.seen(id))
    return cost_a_run(
        CostRequest(
            shown=shown,
            **prices_of(place),
            heater=typed.heater.strip(),
            pump=typed.pump.strip(),
            painted=typed.painted.strip(),
            hands_on=typed.hands_on.strip(),
            chemicals=_money(typed.chemicals, "chemicals"),
            scrap=_money(typed.scrap, "scrap"),
        )
    )


def keep_cost_of_run(place: "Workplace", id: str, typed: TypedCosts) -> "CostReply":
    """The same, kept in the store with what was typed; a field left empty takes back."""
    from tankside.app.keep.keep_costs import keep_costs

    reply = cost_of_run(place, id, typed)
    if not reply.cost.currency:
        raise BadInput("no price names a currency yet; keep the prices first, such as 12 EUR/kg")
    keep_costs(place.store, kept_run(place, id), reply)
    return reply


def typed_of_run(place: "Workplace", id: str) -> TypedCosts:
    """What was typed when the run's costs were kept last."""
    from tankside.app.keep.keep_costs import spent_of

    kept = str(place.runs.how(id).get("kept", ""))
    return TypedCosts(**spent_of(place.store, kept)) if kept else TypedCosts()


def costs_as_csv(place: "Workplace") -> str:
    """All entries of the store, one a line, by moment."""
    names = {run.id: run.name for run in place.store.runs.all(archived=True)}
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(("date_utc", "of", "what", "amount", "currency", "words"))
    for one in filter(spends, place.store.costs()):
        table.writerow(_row(one, names))
    return text.getvalue()


def by_run(place: "Workplace") -> list[dict[str, Any]]:
    """Runs with costs: id in the store, name, moment [s since 1970], and the sum by currency."""
    names = {run.id: run.name for run in place.store.runs.all(archived=True)}
    sums: dict[str, dict[str, Any]] = {}
    for one in place.store.costs():
        if one.of in names:
            row = sums.setdefault(
                one.of, {"id": one.of, "name": names[one.of], "at": one.at, "sums": {}}
            )
            row["sums"][one.currency] = row["sums"].get(one.currency, 0) + one.amount
    return sorted(sums.values(), key=lambda row: -row["at"])


def _row(one: "Cost", names: Mapping[str, str]) -> tuple[str, ...]:
    day = datetime.fromtimestamp(one.at, UTC).strftime("%Y-%m-%d")
    return (day, _plain(names.get(one.of, "")), _plain(one.what), str(one.amount), one.currency,
            _plain(one.words))  # fmt: skip


def _plain(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t") else text


def _money(text: str, where: str) -> float:
    if not text.strip():
        return 0.0
    try:
        found = float(text.strip().replace(",", "."))
    except ValueError as error:
        raise BadInput(
            "{text!r} is no sum of money", text=text.strip()[:40], where=where
        ) from error
    if not 0.0 <= found < 1e9:
        raise BadInput("{text} cannot have been spent", text=text.strip()[:40], where=where)
    return found
