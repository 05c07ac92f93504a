"""The mixing sheet: amounts in the units of the person's tools, steps to tick off, cautions before
the step where they matter, and what should come out."""

from typing import Any

from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind, shown
from tankside.bath.makeup import Action, Amount, MakeUpPlan, Resulting, Step
from tankside.safety.cautions import all_cautions
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import amount, clock, for_its_reader, reader_s, sign

_TITLES = {
    Action.PUT_ON: "Put on goggles, acid-proof gloves and an apron",
    Action.WITHDRAW: "Withdraw old bath into a labelled bottle",
    Action.STOCK: "Make the stock solution of {product}",
    Action.POUR_WATER: "Pour {product} into the vessel",
    Action.POUR_OLD_BATH: "Pour the old bath in",
    Action.KEEP_OLD_BATH: "Leave the old bath in its vessel",
    Action.POUR_ACID: "Pour {product} slowly into the water, stirring",
    Action.COOL: "Let it cool",
    Action.DISSOLVE: "Dissolve {product}",
    Action.ADD: "Add {product}",
    Action.FILL: "Fill to the mark with {product}",
    Action.ADDITIVE: "Add {product}",
    Action.CHECK: "Measure, and label the bath",
}
_NO_FIGURES = (Action.PUT_ON, Action.COOL, Action.CHECK)


def mixing_sheet(plan: MakeUpPlan, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return typeset("tankside.sheets.bath", "mixing", mixing_words(plan, how), how)


@for_its_reader
def mixing_words(plan: MakeUpPlan, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    return {
        "heading": f"Mixing sheet: {how.title}",
        "subheading": f"{amount(plan.volume.best, Kind.VOLUME)} at 20 °C, "
        f"{amount(plan.mass, Kind.MASS)} in all; density at 20 °C "
        f"{shown(plan.density.low, 'g/mL', 4)} to {shown(plan.density.high, 'g/mL', 4)}",
        "warnings": list(plan.warnings),
        "amounts": [_amount_row(one) for one in plan.amounts],
        "cost": _cost(plan),
        "steps": [_step(step, plan) for step in plan.steps],
        "composition": [_composition_row(one) for one in plan.composition if _told(one)],
        "chloride": [
            [share.product, _between(_plus(share.as_content, share.as_impurity), "mg/L")]
            for share in plan.chloride
            if share.as_content.high + share.as_impurity.high > 0.0
        ],
        "solubility": [_solubility(one) for one in plan.solubility],
        "assumptions": list(dict.fromkeys(plan.assumptions)) or ["Nothing beyond the sources."],
        "sources": [source(key).cited() for key in plan.sources] or ["None."],
    }


def _amount_row(one: Amount) -> list[str]:
    """Product, amount, tool, cost."""
    stock, reading = one.stock, one.reading
    if stock is not None:
        how = f"{amount(stock.dose.best, Kind.VOLUME)} of its stock ({stock.dose_reading.tool})"
    elif reading is None:
        how = "to the mark"
    else:
        times = f", {reading.fills} fills" if reading.fills > 1 else ""
        how = f"{reading.tool}{times}"
    cost = "" if one.cost is None else f"{one.cost:.2f}"
    return [one.product, _how_much(one), how, cost]


def _how_much(one: Amount) -> str:
    """By what the tool reads: a scale's grams, a syringe's millilitres."""
    reading = one.reading if one.stock is None else None
    if reading is not None:
        return amount(reading.total, Kind.MASS if reading.by_mass else Kind.VOLUME, 4)
    if one.volume is not None:
        return amount(one.volume.best, Kind.VOLUME)
    return amount(one.mass.best, Kind.MASS)


def _cost(plan: MakeUpPlan) -> str:
    cost = plan.cost
    if cost.total is not None:
        return f"In all {cost.total:.2f} {cost.currency}".rstrip() + "."
    missing = [name for name, price in cost.by_product if price is None]
    return f"Without {', '.join(missing)}, whose prices are not known: {cost.known:.2f}."


def _step(step: Step, plan: MakeUpPlan) -> dict[str, Any]:
    texts = {caution.id: caution.text for caution in all_cautions()}
    title = _TITLES[step.action].format(product=step.product)
    if step.portions > 1:
        title += f", portion {step.portion} of {step.portions}"
    return {
        "title": title,
        "cautions": [texts[name] for name in step.cautions],
        "words": list(step.words),
        "figures": _figures(step, by_mass=_by_mass(step, plan)),
    }


def _by_mass(step: Step, plan: MakeUpPlan) -> bool:
    """True where the product of a step is weighed, so that its step speaks of grams as well."""
    used = plan.amount(step.product)
    reading = None if used is None or used.stock is not None else used.reading
    return reading is not None and reading.by_mass


def _figures(step: Step, *, by_mass: bool) -> list[str]:
    """How much, how warm it gets, how long to wait: beside the step."""
    found = []
    if step.action not in _NO_FIGURES:
        if step.volume > 0.0 and not by_mass:
            found.append(amount(step.volume, Kind.VOLUME, 4))
        elif step.mass > 0.0:
            found.append(amount(step.mass, Kind.MASS, 4))
    if step.after is not None and step.before > 0.0:
        low, high = (_degrees(end) for end in (step.after.low, step.after.high))
        warm = f"{low}" if low == high else f"{low} to {high}"
        found.append(f"{_degrees(step.before)} → {warm} {sign('degC')}")
    if step.wait.high >= 60.0:
        short, long = clock(step.wait.low), clock(step.wait.high)
        found.append(f"then wait {short}" if short == long else f"then wait {short} to {long}")
    return found


def _composition_row(one: Resulting) -> list[str]:
    unit = _unit_of(one.quantity)
    wanted = "" if one.wanted is None else _between(one.wanted, unit)
    if one.wanted is not None and not one.within:
        wanted += "  (missed)"
    return [one.quantity, shown(one.value.best, unit), _between(one.value, unit), wanted]


def _told(one: Resulting) -> bool:
    """What was wanted, and what is there in an amount that counts."""
    return one.wanted is not None or one.value.high > 1e-3


def _unit_of(quantity: str) -> str:
    return "mg/L" if quantity == "chloride" else "g/L"


def _solubility(one: Any) -> str:
    what = (
        f"{one.when} ({shown(one.temperature, 'degC', 2)}): "
        f"{_between(one.dissolves, 'g/L')} of copper sulfate stay dissolved, the bath holds "
        f"{shown(one.holds.best, 'g/L')}"
    )
    return f"{what}: enough." if one.sure else f"{what}: crystals may form; keep it warmer."


def _degrees(value: float) -> str:
    return shown(value, reader_s("degC"), 2).split()[0]


def _between(value: Interval, unit: str) -> str:
    low, high = (shown(end, unit) for end in (value.low, value.high))
    return high if low == high else f"{low.split()[0]} to {high}"


def _plus(one: Interval, other: Interval) -> Interval:
    return Interval(one.low + other.low, one.best + other.best, one.high + other.high)
