"""Use case: a bath made up from the bottles on a person's shelf.

Reads one TOML file: [target], [[shelf]], [[tool]], [vessel], and where they are there [old_bath],
[[additive]], [room] and [mixing]. Answers with what to measure, in which order, with which cautions
before which step, what comes out and what it costs.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import Entries
from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.bath.forms import caution_rows, told_cautions
from tankside.app.bath.make_rows import amount_row
from tankside.app.bath.shelf_file import additive_of, bench_of, room_of
from tankside.app.bath.tables import many_tables, one_table, tables_of
from tankside.app.bath.target_file import Aim, aim_of
from tankside.app.forms import ends, ends_or_none
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.base.wording import either
from tankside.bath.makeup.ledger import old_bath_of
from tankside.bath.makeup.make_up import made_up
from tankside.bath.makeup.plan import MakeUpPlan, Step
from tankside.bath.makeup.request import (
    MakeUpRequest,
    OldBath,
    Preference,
    Stocked,
    Wanted,
    quantities,
)
from tankside.safety.cautions import Caution
from tankside.substances.products import Product

COLDEST = "15 degC"
"""The coldest that the bath will meet where none is typed: a heated workshop, our guess."""

_MIXING = ("coldest", "start", "prefer", "order", "ice_bath", "in_place")


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeRequest:
    """A bath's file and its name for sentences; a volume that replaces the file's, as typed; a
    ledger whose bath is kept as far as the target allows, as it is `at` then [s since 1970-01-01
    UTC], None for its last event."""

    bath_text: bytes | str
    bath_name: str
    volume: str = ""
    old: LedgerAsked | None = None
    at: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeReply:
    """The plan, and what stands around it.

    products        those of the shelf and the additives, by name
    units           of each tool's scale, as the person typed them
    cautions        the text of each caution that a step names
    notes           where an aim lies outside the family's window
    words           what bath it is
    old             "" where no old bath is used, else "typed" or "ledger"
    """

    plan: MakeUpPlan
    products: Mapping[str, Product]
    units: Mapping[str, str]
    cautions: Mapping[str, Caution]
    notes: tuple[str, ...]
    words: str
    old: str

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        plan = self.plan
        return {
            "bath": self.words,
            "volume_m3": ends(plan.volume),
            "mass_kg": plan.mass,
            "density_kg_m3": ends(plan.density),
            "old_bath_m3": plan.old_bath,
            "withdrawn_m3": plan.withdrawn,
            "amounts": [amount_row(one) for one in plan.amounts],
            "steps": [self._step_row(one) for one in plan.steps],
            "composition": [
                {
                    "quantity": one.quantity,
                    "value_kg_m3": ends(one.value),
                    "wanted_kg_m3": ends_or_none(one.wanted),
                    "within": one.within,
                }
                for one in plan.composition
            ],
            "covariance_kg2_m6": {
                "names": list(plan.names),
                "rows": [list(row) for row in plan.covariance],
            },
            "chloride_budget": [
                {
                    "product": one.product,
                    "as_content_kg_m3": ends(one.as_content),
                    "as_impurity_kg_m3": ends(one.as_impurity),
                }
                for one in plan.chloride
            ],
            "solubility": [
                {
                    "when": one.when,
                    "temperature_K": one.temperature,
                    "dissolves_kg_m3": ends(one.dissolves),
                    "holds_kg_m3": ends(one.holds),
                    "margin": ends(one.margin),
                    "sure": one.sure,
                }
                for one in plan.solubility
            ],
            "cost": {
                "by_product": dict(plan.cost.by_product),
                "known": plan.cost.known,
                "total": plan.cost.total,
                "currency": plan.cost.currency,
            },
            "warnings": [*plan.warnings, *self.notes],
            "assumptions": list(plan.assumptions),
            "sources": list(plan.sources),
        }

    def _step_row(self, one: Step) -> dict[str, Any]:
        return {
            "cautions": caution_rows(self.cautions[name] for name in one.cautions),
            "action": one.action.value,
            "product": one.product,
            "mass_kg": one.mass,
            "volume_m3": one.volume,
            "portion": one.portion,
            "portions": one.portions,
            "before_K": one.before or None,
            "after_K": ends_or_none(one.after),
            "wait_s": ends(one.wait),
            "words": list(one.words),
        }


@within_laws
def make_a_bath(request: MakeRequest) -> MakeReply:
    """The make-up that the file asks for; raises as `made_up` does, placed in the file."""
    where = request.bath_name
    tables = tables_of(request.bath_text, where=where)
    target = _needed(tables, "target", where)
    aim = aim_of(target)
    asked = _asked(tables, aim, request)
    plan = made_up(asked)
    named = [name for step in plan.steps for name in step.cautions]
    products = [one.product for one in asked.shelf] + [one.product for one in asked.additives]
    return MakeReply(
        plan=plan,
        products={one.name: one for one in products},
        units=bench_of(tables, where=where).units,
        cautions={one.id: one for one in told_cautions(dict.fromkeys(named))},
        notes=_notes(aim),
        words="the bath of your own target" if aim.family is None else aim.family.words,
        old="" if asked.old is None else "typed" if request.old is None else "ledger",
    )


def _asked(tables: Mapping[str, Any], aim: Aim, request: MakeRequest) -> MakeUpRequest:
    where = request.bath_name
    bench = bench_of(tables, where=where)
    if bench.vessel is None:
        raise BadInput("the table [vessel] is missing: say what the bath is mixed in", where=where)
    if not bench.stocks or not bench.tools:
        lacks = "[[tool]]" if bench.stocks else "[[shelf]]"
        raise BadInput("there is no table {lacks}: say what is at hand", lacks=lacks, where=where)
    mixing = one_table(tables, "mixing", where=where) or Entries(table={}, where=where)
    mixing.only(*_MIXING)
    return MakeUpRequest(
        volume=_volume(aim, request),
        target=aim.target,
        shelf=tuple(Stocked(product=s.product, available=s.available) for s in bench.stocks),
        tools=bench.tools,
        vessel=bench.vessel,
        old=_old(tables, request),
        additives=tuple(additive_of(one) for one in many_tables(tables, "additive", where=where)),
        preference=_preference(mixing),
        coldest=mixing.quantity("coldest", Kind.TEMPERATURE, COLDEST),
        room=room_of(one_table(tables, "room", where=where)),
        start=mixing.quantity("start", Kind.TEMPERATURE, "20 degC"),
        order=mixing.texts("order") or None,
        ice_bath=mixing.switch("ice_bath"),
        in_place=mixing.switch("in_place"),
    )


def _old(tables: Mapping[str, Any], request: MakeRequest) -> OldBath | None:
    typed = one_table(tables, "old_bath", where=request.bath_name)
    if request.old is None:
        return None if typed is None else typed_old_bath(typed)
    if typed is not None:
        raise BadInput("an old bath comes from [old_bath] or from a ledger, not from both",
                       where=request.bath_name)  # fmt: skip
    return old_bath_of(read_ledger(request.old, at=request.at).estimate)


def typed_old_bath(entries: Entries) -> OldBath:
    """The bath of a table [old_bath]: its volume and what it holds, each with its spread."""
    known = {name.replace(" ", "_"): name for name in quantities()}
    entries.only("volume", *known, what="quantity")
    return OldBath(
        volume=entries.range("volume", Kind.VOLUME),
        holds=tuple(
            Wanted(quantity=name, value=entries.concentration(key, quantities()[name][1]))
            for key, name in known.items()
            if key in entries
        ),
    )


def _volume(aim: Aim, request: MakeRequest) -> float:
    text, where = (request.volume, "--volume") if request.volume else (
        aim.volume, f"{request.bath_name}: [target] volume")  # fmt: skip
    if not text:
        raise BadInput("say how much bath is wanted, such as volume = '10 L'", where=where)
    volume = quantity(text, Kind.VOLUME, where=where)
    if volume <= 0.0:
        raise BadInput("{text!r}: a bath's volume is above zero", text=text, where=where)
    return volume


def _preference(mixing: Entries) -> Preference:
    text = mixing.text("prefer", Preference.CHEAPEST.value).strip().lower()
    if text not in tuple(Preference):
        words = either(repr(one.value) for one in Preference)
        raise BadInput(
            "{text!r} is no preference; write {words}",
            text=text,
            words=words,
            where=mixing.place("prefer"),
        )
    return Preference(text)


def _notes(aim: Aim) -> tuple[str, ...]:
    if aim.family is None:
        return ()
    values = {one.quantity.replace(" ", "_"): one.value.best for one in aim.target.wanted}
    return aim.family.outside_of(values)


def _needed(tables: Mapping[str, Any], name: str, where: str) -> Entries:
    found = one_table(tables, name, where=where)
    if found is None:
        raise BadInput("the table [{name}] is missing", name=name, where=where)
    return found
