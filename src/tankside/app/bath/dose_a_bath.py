"""Use case: what to put into the bath, or take out of it, so that it is inside its window.

The shelf's file says what is at hand; the doses are portions that its tools can measure. A
brightener is never dosed by the clock: ampere-hours propose, and the panel that was plated decides.
"""

from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.dose_the_additive import AdditiveAdvice, additive_advice
from tankside.app.bath.estimate_form import UNITS, LedgerAsked, read_ledger, window_row
from tankside.app.bath.forms import caution_rows
from tankside.app.bath.make_words import in_tool
from tankside.app.bath.shelf_file import Bench, Stock, bench_of
from tankside.app.bath.tables import tables_of
from tankside.app.forms import ends
from tankside.base.errors import BadInput
from tankside.base.units import Kind, UnitSystem, quantity, told
from tankside.bath.dosing.dosing import Advice, Option, advised
from tankside.bath.dosing.outcome import Action, Add, Withdraw
from tankside.bath.dosing.shelf import Item, Measure
from tankside.bath.inventory.windows import Windows
from tankside.bath.makeup.request import Measures, Tool
from tankside.safety.activities import Activity, Doing, cautions_while
from tankside.safety.cautions import Caution
from tankside.substances.products import Form, Product

LEAST_DIVISIONS = 5.0
"""Divisions of a tool from which a portion is worth measuring [-]: as of the doses' own tools."""

ROOM_AT_THE_BRIM = 0.95
"""Share of a vessel that a bath may fill where no capacity is typed [-]: common practice, no
source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseRequest:
    """A ledger and a shelf.

    capacity       what the tank may hold, as typed; "" for the vessel's of the shelf's file
    least          what it must hold, or "" for what it does
    probability    asked for, as typed
    panel          what the test panel looked like: bright, dull, overdosed, or "" for none
    """

    asked: LedgerAsked
    shelf: bytes | str
    shelf_name: str
    capacity: str = ""
    least: str = ""
    probability: str = "90 %"
    panel: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseReply:
    """Options, the first the one to take, for the bath `at` its last event [s since 1970-01-01
    UTC]; `tools` is what each product is measured with, `units` those tools' own, and `cautions`
    are those of what the options pour."""

    at: float
    advice: Advice
    asked: float
    windows: Windows
    whose: str
    tools: dict[str, str]
    units: dict[str, str]
    products: dict[str, Product]
    additive: AdditiveAdvice | None
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...]

    def reading(self, action: Action, system: UnitSystem) -> str:
        """How much an action takes: what its tool is read to, in the tool's own unit; a volume of
        bath in the person's."""
        if isinstance(action, Withdraw):
            return told(action.volume, Kind.VOLUME, system, 4)
        unit = self.units[action.product]
        if action.volume is not None:
            return in_tool(action.volume, unit, Kind.VOLUME, system)
        return in_tool(action.mass, unit, Kind.MASS, system)

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "at_s": self.at,
            "windows_of": self.whose,
            "windows": {
                f"{name}_{UNITS[name]}": window_row(self.windows, name) for name in self.windows
            },
            "probability_asked": self.asked,
            "cautions": caution_rows(self.cautions),
            "options": [self._option_row(one) for one in self.advice.options],
            "notes": [*self.advice.notes, *self.notes],
            "additive": None
            if self.additive is None
            else {
                "product": self.additive.product,
                "held_kg_m3": ends(self.additive.proposal.held),
                "charge_C": self.additive.proposal.charge,
                "missing_kg": self.additive.proposal.missing,
                "panel_due": self.additive.proposal.panel_due,
                "dose_kg": self.additive.dose,
                "sentence": self.additive.proposal.sentence,
            },
        }

    def _option_row(self, one: Option) -> dict[str, Any]:
        return {
            "cautions": list(one.cautions),
            "words": one.words,
            "meets": one.meets,
            "probability": one.probability,
            "actions": [
                {"withdraw_m3": act.volume}
                if isinstance(act, Withdraw)
                else {
                    "add": act.product,
                    "mass_kg": act.mass,
                    "volume_m3": act.volume,
                    "with": self.tools[act.product],
                }
                for act in one.actions
            ],
            "cost": one.cost,
            "currency": one.currency,
            "withdrawn_m3": one.withdrawn,
            "after": {f"{name}_{UNITS[name]}": ends(value) for name, value in one.ends.items()},
            "probabilities": dict(one.probabilities),
        }


@within_laws
def dose_a_bath(request: DoseRequest) -> DoseReply:
    """What to do about the bath of a ledger; BadInput for a shelf that cannot be."""
    read = read_ledger(request.asked)
    where = request.shelf_name
    tables = tables_of(request.shelf, where=where)
    bench = bench_of(tables, where=where)
    if not bench.stocks or not bench.tools:
        lacks = "[[tool]]" if bench.stocks else "[[shelf]]"
        raise BadInput("there is no table {lacks}: say what is at hand", lacks=lacks, where=where)
    items, unmeasured = _items(bench)
    probability = quantity(request.probability, Kind.FRACTION, where="--probability")
    capacity = _capacity(request, bench)
    advice = advised(
        read.estimate,
        read.windows,
        items,
        capacity=capacity,
        least_volume=_least(request),
        probability=probability,
    )
    return DoseReply(
        at=read.estimate.at,
        advice=advice,
        asked=probability,
        windows=read.windows,
        whose=read.whose,
        tools={item.product.name: item.measure.name for item in items},
        units={item.product.name: bench.units[item.measure.name] for item in items},
        products={item.product.name: item.product for item in items},
        additive=additive_advice(tables, read, panel=request.panel, where=request.shelf_name),
        cautions=_cautions(advice, items),
        notes=(*read.notes, *unmeasured),
    )


def _items(bench: Bench) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """What can be dosed, and a sentence for each product that no tool measures."""
    items, notes = [], []
    for stock in bench.stocks:
        tool = _tool_for(stock, bench.tools)
        if tool is None:
            notes.append(f"No tool measures {stock.product.name}; it is left out.")
            continue
        items.append(Item(product=stock.product, measure=_measure(tool), stock=stock.available))
    return tuple(items), tuple(notes)


def _tool_for(stock: Stock, tools: tuple[Tool, ...]) -> Tool | None:
    """The tool that is named; else the roughest for what goes in by the hundred grams, and the
    finest for what brings chloride, which goes in by the gram. Liquids by volume before mass."""
    if stock.measured_with:
        return next(tool for tool in tools if tool.name == stock.measured_with)
    liquid = stock.product.form is Form.LIQUID and stock.product.density is not None
    volumes = [one for one in tools if one.measures is Measures.VOLUME] if liquid else []
    scales = [one for one in tools if one.measures is Measures.MASS]
    fit = volumes or scales
    if not fit:
        return None
    little = any(stock.product.mass_fraction(name).best > 0.0 for name in _BY_THE_GRAM)
    chosen = min if little else max
    return chosen(fit, key=lambda tool: tool.resolution)


_BY_THE_GRAM = ("sodium chloride", "hydrochloric acid")


def _measure(tool: Tool) -> Measure:
    return Measure(
        name=tool.name,
        resolution=tool.resolution,
        least=min(LEAST_DIVISIONS * tool.resolution, tool.capacity),
        largest=tool.capacity,
        by_volume=tool.measures is Measures.VOLUME,
    )


def _cautions(advice: Advice, items: tuple[Item, ...]) -> tuple[Caution, ...]:
    """What is read before any of the options is carried out; none where nothing is done."""
    named = {act.product for one in advice.options for act in one.actions if isinstance(act, Add)}
    handled: dict[str, float] = {}
    for item in items:
        if item.product.name not in named:
            continue
        for content in item.product.contents:
            most = max(handled.get(content.substance, 0.0), content.mass_fraction.high)
            handled[content.substance] = most
    if not named:
        return ()
    return cautions_while(Doing(activity=Activity.MIXING, handled=handled))


def _capacity(request: DoseRequest, bench: Bench) -> float:
    if request.capacity:
        return _volume(request.capacity, "--capacity")
    if bench.vessel is None:
        raise BadInput(
            "say what the tank may hold, such as --capacity '12 L', or give the file a [vessel]",
            where=request.shelf_name,
        )
    return bench.vessel.capacity * ROOM_AT_THE_BRIM


def _least(request: DoseRequest) -> float | None:
    return _volume(request.least, "--least") if request.least else None


def _volume(text: str, where: str) -> float:
    volume = quantity(text, Kind.VOLUME, where=where)
    if volume <= 0.0:
        raise BadInput("{text!r}: a volume here is above zero", text=text, where=where)
    return volume
