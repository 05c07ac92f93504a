"""Use cases: what a stored run cost, kept as entries that are only ever added; and what was spent
by month, by part, and on what."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from tankside.app.cost_a_run import CostReply
from tankside.app.store_ports import StaleWrite, Store
from tankside.app.store_records import Cost, Kept, PartRecord, RunRecord, checked_currency
from tankside.base.errors import BadInput
from tankside.runs.costs import Line

CENT = Decimal("0.01")
AT = " at "
"""Between amount and price in the words of an entry."""
PRICE = "price of "
"""Begins what an entry is for that only remembers a price."""
PRICE_OF = {
    "copper": "copper",
    "energy, plating": "electricity",
    "energy, heater": "electricity",
    "energy, pump": "electricity",
    "seed coat": "coat",
    "work": "work",
}
"""Which price of a request an entry was reckoned with."""
SPENT_OF = {
    "energy, heater": "heater",
    "energy, pump": "pump",
    "seed coat": "painted",
    "work": "hands_on",
}
"""Which typed amount of a request an entry stands for."""
SUMS = ("chemicals", "scrap")
"""What is typed as a sum of money."""
TAKEN_BACK = "taken back"
NO_PART = "no part"
"""Stands for the part of a cost that belongs to no run of a kept plan."""


def keep_costs(store: Store, run: Kept[RunRecord], reply: CostReply) -> tuple[Cost, ...]:
    """Adds what makes the run's entries sum to this reply, and nothing where they do already: a
    new price or a corrected amount adds the difference. An amount that has no price is kept as an
    entry of nothing. BadInput without a currency of three letters, or where the run's costs are
    kept in another one."""
    cost = reply.cost
    if not cost.currency:
        raise BadInput("no price names a currency; write for example --copper '12 EUR/kg'")
    checked_currency(cost.currency)
    before: dict[str, Decimal] = defaultdict(Decimal)
    words: dict[str, str] = {}
    entries = store.costs(run.id)
    for entry in entries:
        if entry.currency != cost.currency:
            raise BadInput(
                "the costs of {run!r} are kept in {currency}; give prices in that",
                run=run.name,
                currency=entry.currency,
            )
        before[entry.what] += entry.amount
        words[entry.what] = entry.words
    wanted = {line.name: _exact(line.cost or 0.0) for line in cost.lines}
    said = {line.name: _words(line, reply) for line in cost.lines}
    added = tuple(
        Cost(
            id=f"{run.id} {len(entries):06} {name}",  # another who adds behind the same is refused
            at=cost.at,
            what=str(name),
            amount=wanted.get(name, Decimal(0)) - before[name],
            currency=cost.currency,
            of=run.id,
            words=said.get(name, TAKEN_BACK),
        )
        for name in dict.fromkeys((*wanted, *before))
        if wanted.get(name, Decimal(0)) != before[name]
        or (name in SPENT_OF and said.get(name, TAKEN_BACK) != words.get(name))
    )
    try:
        store.add_costs(added)
    except BadInput as error:
        if len(store.costs(run.id)) == len(entries):
            raise
        raise StaleWrite(
            "somebody else has kept costs of {run!r} meanwhile; look at them, and ask again",
            run=run.name,
        ) from error
    return added


def spent_of(store: Store, run: str) -> dict[str, str]:
    """What was typed of a run's amounts when its costs were kept, by the field of a request; ""
    where nothing was, or where it was taken back. Sums of money are of all entries."""
    found = dict.fromkeys((*SPENT_OF.values(), *SUMS), "")
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for entry in store.costs(run):
        if entry.what in SPENT_OF:
            typed = entry.words.partition(AT)[0]
            found[SPENT_OF[entry.what]] = "" if typed == TAKEN_BACK else typed
        elif entry.what in SUMS:
            sums[entry.what] += entry.amount
    return found | {name: str(amount) for name, amount in sums.items() if amount}


def spends(entry: Cost) -> bool:
    """False for an entry that only remembers something."""
    return entry.amount != 0


def _words(line: Line, reply: CostReply) -> str:
    """The amount, as it was typed where it was, and the price."""
    amount = reply.typed.get(SPENT_OF.get(line.name, ""), line.amount)
    price = reply.prices.get(PRICE_OF.get(line.name, ""), "")
    return f"{amount}{AT}{price}" if price else amount


def _exact(amount: float) -> Decimal:
    return Decimal(repr(amount)).quantize(CENT)


@dataclass(frozen=True, kw_only=True)
class CostsReply:
    """Sums of the store's costs, by currency and then by month ("2026-11"), by part, and by what
    they were for."""

    by_month: Mapping[str, Mapping[str, Decimal]]
    by_part: Mapping[str, Mapping[str, Decimal]]
    by_purpose: Mapping[str, Mapping[str, Decimal]]

    def as_json(self) -> dict[str, Any]:
        """Amounts as text, because they are exact."""
        return {
            name: {
                currency: {key: str(amount) for key, amount in sums.items()}
                for currency, sums in getattr(self, name).items()
            }
            for name in ("by_month", "by_part", "by_purpose")
        }

    def text(self) -> str:
        """Tables for a terminal."""
        if not self.by_month:
            return "No costs are kept yet; 'tankside run cost RUN --store' keeps those of a run.\n"
        lines: list[str] = []
        for title, sums in (
            ("By month", self.by_month),
            ("By part", self.by_part),
            ("By what it was for", self.by_purpose),
        ):
            lines.append(title)
            for currency, entries in sums.items():
                width = max(map(len, entries))
                lines += [f"  {key:{width}}  {entries[key]:>10} {currency}" for key in entries]
        return "\n".join(lines) + "\n"


def sum_costs(store: Store) -> CostsReply:
    """All costs of the store. A run's count for the part of its plan, shared evenly where the plan
    holds several."""
    parts = _parts_of_runs(store)
    months, purposes, by_part = _Sums(), _Sums(), _Sums()
    for entry in filter(spends, store.costs()):
        month = datetime.fromtimestamp(entry.at, UTC).strftime("%Y-%m")
        months.add(entry.currency, month, entry.amount)
        purposes.add(entry.currency, entry.what, entry.amount)
        named = parts.get(entry.of) or (NO_PART,)
        for name in named:
            by_part.add(entry.currency, name, entry.amount / len(named))
    return CostsReply(
        by_month=months.sorted(), by_part=by_part.sorted(), by_purpose=purposes.sorted()
    )


class _Sums:
    """Sums by currency and key."""

    def __init__(self) -> None:
        self._held: dict[str, dict[str, Decimal]] = {}

    def add(self, currency: str, key: str, amount: Decimal) -> None:
        sums = self._held.setdefault(currency, {})
        sums[key] = sums.get(key, Decimal(0)) + amount

    def sorted(self) -> dict[str, dict[str, Decimal]]:
        return {
            currency: {key: sums[key].quantize(CENT) for key in sorted(sums)}
            for currency, sums in sorted(self._held.items())
        }


def _parts_of_runs(store: Store) -> dict[str, tuple[str, ...]]:
    """Names of the parts that each run plated, by the run's id, and of the part by its own."""
    parts = store.parts.all(archived=True)
    names = {part.id: part.name for part in parts}
    plans = {
        plan.id: tuple(names[one.id] for one in plan.value.used if one.id in names)
        for plan in store.plans.all(archived=True)
    }
    runs = {run.id: plans.get(run.value.plan, ()) for run in store.runs.all(archived=True)}
    return {**runs, **_own(parts)}


def _own(parts: Iterable[Kept[PartRecord]]) -> dict[str, tuple[str, ...]]:
    return {part.id: (part.name,) for part in parts}
