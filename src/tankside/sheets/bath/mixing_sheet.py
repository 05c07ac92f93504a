"""The mixing sheet: amounts in the units of the person's tools, steps to tick off, cautions before
the step where they matter, and what should come out."""

from typing import Any

from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind
from tankside.bath.makeup import Action, Amount, MakeUpPlan, Resulting, Step
from tankside.safety.cautions import all_cautions
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import (
    amount,
    bare,
    clock,
    for_its_reader,
    listed,
    money,
    reader_s,
    reading,
    sign,
    span,
    spoken,
    worded,
)

_NO_FIGURES = (Action.PUT_ON, Action.COOL, Action.CHECK)


def mixing_sheet(plan: MakeUpPlan, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return typeset("tankside.sheets.bath", "mixing", mixing_words(plan, how), how)


@for_its_reader
def mixing_words(plan: MakeUpPlan, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the sheet, by its place in the layout."""
    return {
        "heading": worded("Mixing sheet: {name}", name=spoken(how.title)),
        "subheading": worded(
            "{volume} at 20 °C, {mass} in all; density at 20 °C {low} to {high}",
            volume=amount(plan.volume.best, Kind.VOLUME),
            mass=amount(plan.mass, Kind.MASS),
            low=reading(plan.density.low, "g/mL", 4),
            high=reading(plan.density.high, "g/mL", 4),
        ),
        "degree": sign("degC"),
        "warnings": [spoken(one) for one in plan.warnings],
        "amounts": [_amount_row(one) for one in plan.amounts],
        "cost": _cost(plan),
        "steps": [_step(step, plan) for step in plan.steps],
        "composition": [_composition_row(one) for one in plan.composition if _told(one)],
        "chloride": [
            [spoken(share.product), _between(_plus(share.as_content, share.as_impurity), "mg/L")]
            for share in plan.chloride
            if share.as_content.high + share.as_impurity.high > 0.0
        ],
        "solubility": [_solubility(one) for one in plan.solubility],
        "assumptions": [spoken(one) for one in dict.fromkeys(plan.assumptions)]
        or [worded("Nothing beyond the sources.")],
        "sources": [source(key).cited() for key in plan.sources] or [worded("None.")],
    }


def _amount_row(one: Amount) -> list[str]:
    """Product, amount, tool, cost."""
    stock, tool = one.stock, one.reading
    if stock is not None:
        how = worded(
            "{dose} of its stock ({tool})",
            dose=amount(stock.dose.best, Kind.VOLUME),
            tool=spoken(stock.dose_reading.tool),
        )
    elif tool is None:
        how = worded("to the mark")
    else:
        how = spoken(tool.tool)
        if tool.fills > 1:
            how = worded("{tool}, {fills} fills", tool=how, fills=tool.fills)
    cost = "" if one.cost is None else money(one.cost)
    return [spoken(one.product), _how_much(one), how, cost]


def _how_much(one: Amount) -> str:
    """By what the tool reads: a scale's grams, a syringe's millilitres."""
    tool = one.reading if one.stock is None else None
    if tool is not None:
        return amount(tool.total, Kind.MASS if tool.by_mass else Kind.VOLUME, 4)
    if one.volume is not None:
        return amount(one.volume.best, Kind.VOLUME)
    return amount(one.mass.best, Kind.MASS)


def _cost(plan: MakeUpPlan) -> str:
    cost = plan.cost
    if cost.total is not None:
        return worded("In all {sum}.", sum=money(cost.total, cost.currency))
    missing = [spoken(name) for name, price in cost.by_product if price is None]
    return worded(
        "Without {products}, whose prices are not known: {sum}.",
        products=listed(missing),
        sum=money(cost.known),
    )


def _step(step: Step, plan: MakeUpPlan) -> dict[str, Any]:
    texts = {caution.id: caution.text for caution in all_cautions()}
    title = _title(step)
    if step.portions > 1:
        title = worded(
            "{step}, portion {number} of {count}",
            step=title,
            number=step.portion,
            count=step.portions,
        )
    return {
        "title": title,
        "cautions": [spoken(texts[name]) for name in step.cautions],
        "words": [spoken(one) for one in step.words],
        "figures": _figures(step, by_mass=_by_mass(step, plan)),
    }


def _title(step: Step) -> str:
    """What is done, in a line."""
    product = spoken(step.product)
    match step.action:
        case Action.PUT_ON:
            return worded("Put on goggles, acid-proof gloves and an apron")
        case Action.WITHDRAW:
            return worded("Withdraw old bath into a labelled bottle")
        case Action.STOCK:
            return worded("Make the stock solution of {product}", product=product)
        case Action.POUR_WATER:
            return worded("Pour {product} into the vessel", product=product)
        case Action.POUR_OLD_BATH:
            return worded("Pour the old bath in")
        case Action.KEEP_OLD_BATH:
            return worded("Leave the old bath in its vessel")
        case Action.POUR_ACID:
            return worded("Pour {product} slowly into the water, stirring", product=product)
        case Action.COOL:
            return worded("Let it cool")
        case Action.DISSOLVE:
            return worded("Dissolve {product}", product=product)
        case Action.ADD:
            return worded("Add {product}", product=product)
        case Action.FILL:
            return worded("Fill to the mark with {product}", product=product)
        case Action.ADDITIVE:
            return worded("Add {product}", product=product)
        case Action.CHECK:
            return worded("Measure, and label the bath")


def _by_mass(step: Step, plan: MakeUpPlan) -> bool:
    """True where the product of a step is weighed, so that its step speaks of grams as well."""
    used = plan.amount(step.product)
    tool = None if used is None or used.stock is not None else used.reading
    return tool is not None and tool.by_mass


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
        warm = span(low, high)
        found.append(f"{_degrees(step.before)} → {warm} {sign('degC')}")
    if step.wait.high >= 60.0:
        wait = span(clock(step.wait.low), clock(step.wait.high))
        found.append(worded("then wait {time}", time=wait))
    return found


def _composition_row(one: Resulting) -> list[str]:
    unit = _unit_of(one.quantity)
    wanted = "" if one.wanted is None else _between(one.wanted, unit)
    if one.wanted is not None and not one.within:
        wanted += f"  ({worded('missed')})"
    return [spoken(one.quantity), reading(one.value.best, unit), _between(one.value, unit), wanted]


def _told(one: Resulting) -> bool:
    """What was wanted, and what is there in an amount that counts."""
    return one.wanted is not None or one.value.high > 1e-3


def _unit_of(quantity: str) -> str:
    return "mg/L" if quantity == "chloride" else "g/L"


def _solubility(one: Any) -> str:
    told = {
        "when": spoken(one.when),
        "temperature": amount(one.temperature, Kind.TEMPERATURE, 2),
        "dissolves": _between(one.dissolves, "g/L"),
        "holds": reading(one.holds.best, "g/L"),
    }
    if one.sure:
        return worded(
            "{when} ({temperature}): {dissolves} of copper sulfate stay dissolved, the bath holds "
            "{holds}: enough.",
            **told,
        )
    return worded(
        "{when} ({temperature}): {dissolves} of copper sulfate stay dissolved, the bath holds "
        "{holds}: crystals may form; keep it warmer.",
        **told,
    )


def _degrees(value: float) -> str:
    return bare(value, reader_s("degC"), 2)


def _between(value: Interval, unit: str) -> str:
    low, high = (reading(end, unit) for end in (value.low, value.high))
    return high if low == high else span(low.split()[0], high)


def _plus(one: Interval, other: Interval) -> Interval:
    return Interval(one.low + other.low, one.best + other.best, one.high + other.high)
