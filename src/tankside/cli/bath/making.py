"""tankside bath make BATH.toml: amounts, steps with cautions, what comes out, what it costs."""

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from tankside.app.bath.make_words import in_tool
from tankside.app.bath.make_words import reading as tool_reading
from tankside.base.units import Kind, UnitSystem, shown
from tankside.cli.bath.files import asked, content, into, noted_at
from tankside.cli.bath.pages import (
    Page,
    concentration_unit,
    duration,
    first_up,
    mass,
    percent,
    print_json,
    span,
    spread,
    system_of,
    volume,
    works,
)

if TYPE_CHECKING:
    from tankside.app.bath.make_a_bath import MakeReply
    from tankside.app.ports import Tools


def make(options: argparse.Namespace, tools: "Tools") -> int:
    """Makes the bath up, and prints it; with --note it stands in the ledger afterwards."""
    from tankside.app.bath.make_a_bath import MakeRequest, make_a_bath
    from tankside.app.bath.note_a_make_up import note_a_make_up

    text, name = content(options.file, tools, "make")
    old = None if options.old is None else asked(options, tools, options.old)
    at = noted_at(options) if options.note is not None or options.at else None
    reply = make_a_bath(
        MakeRequest(bath_text=text, bath_name=name, volume=options.volume, old=old, at=at)
    )
    ledger = into(options, tools)
    if ledger is not None:
        note_a_make_up(reply, ledger, at=noted_at(options) if at is None else at)
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_a_make_up
        from tankside.cli.bath.printing import printed

        printed(options, tools, lambda how, sheets: print_a_make_up(reply, how, sheets))
    if options.json:
        print_json(reply.as_json())
        return 0
    page = _page(reply, system_of(options.units))
    if ledger is not None:
        page.head(f"Noted in {options.note}.")
    page.printed()
    return 0


def _page(reply: "MakeReply", system: UnitSystem) -> Page:
    plan = reply.plan
    page = Page(f"MAKE-UP: {volume(plan.volume.best, system)} of {reply.words}")
    page.points("MIND FIRST", [*plan.warnings, *reply.notes], mark="!")
    page.head("TO MEASURE")
    page.table([("product", "measure", "with", "cost"), *_amounts(reply, system)], right=(1, 3))
    _stocks(page, reply)
    _steps(page, reply, system)
    _outcome(page, reply)
    page.points("TAKEN FOR GRANTED", plan.assumptions)
    page.points("STANDS ON", [works(plan.sources)])
    return page


def _amounts(reply: "MakeReply", system: UnitSystem) -> Iterator[tuple[str, str, str, str]]:
    currency = reply.plan.cost.currency
    for one in reply.plan.amounts:
        cost = "" if one.cost is None else f"{one.cost:.2f} {currency}"
        if one.reading is None:
            size = one.mass.best if one.volume is None else one.volume.best
            word = mass(size, system) if one.volume is None else volume(size, system)
            yield one.product, f"about {word}", "the vessel's mark", cost
        else:
            yield one.product, reading(one.reading, reply), _tool(one), cost
    if reply.plan.old_bath > 0.0:
        yield "old bath", volume(reply.plan.old_bath, system), "what is kept", ""
    total = reply.plan.cost
    if total.known > 0.0:
        least = "" if total.total is not None else "at least "
        yield "", "", f"in all {least}".strip(), f"{total.known:.2f} {currency}"


def _tool(one: Any) -> str:
    fills = one.reading.fills if one.reading is not None else 1
    tool = one.reading.tool if one.reading is not None else ""
    words = tool if fills == 1 else f"{tool}, {fills} fills"
    return words if one.stock is None else f"{words}, of the stock below"


def reading(one: Any, reply: "MakeReply") -> str:
    """What a tool is read to, in its own unit."""
    return tool_reading(one, reply.units)


def _stocks(page: Page, reply: "MakeReply") -> None:
    for one in reply.plan.amounts:
        if one.stock is not None:
            page.say(
                f"Stock of {one.product}: {reading(one.stock.take, reply)} filled to "
                f"{shown(one.stock.volume, 'mL', 4)}; of it "
                f"{reading(one.stock.dose_reading, reply)} go into the bath."
            )


def _steps(page: Page, reply: "MakeReply", system: UnitSystem) -> None:
    page.head("STEPS (read the ! before the step)")
    for number, step in enumerate(reply.plan.steps, start=1):
        if number > 1:
            page.gap()
        for name in step.cautions:
            page.point(reply.cautions[name].text, mark="!", indent=5)
        doing, words = f"{_doing(step, reply, system)}.", step.words
        if words and words[0].lower().startswith(step.action.value):
            doing, words = words[0], words[1:]
        page.point(doing, mark=f"{number:>2}.", indent=1)
        for sentence in (*words, *_warmth(step)):
            page.say(sentence, indent=5)


def _doing(step: Any, reply: "MakeReply", system: UnitSystem) -> str:
    words = first_up(step.action.value)
    if step.product and step.product not in step.action.value:
        words += f": {step.product}"
    if step.portions > 1:
        words += f", portion {step.portion} of {step.portions}"
    amounts = _step_amounts(step, reply, system)
    return f"{words}, {amounts}" if amounts else words


def _step_amounts(step: Any, reply: "MakeReply", system: UnitSystem) -> str:
    """How much goes in, in the unit of the tool that measures it, then otherwise; of a dose from a
    stock solution only that, so that nobody weighs the product in its place."""
    amount = reply.plan.amount(step.product)
    making_stock = step.action.value == "make a stock solution"
    if amount is not None and amount.stock is not None:
        stock = amount.stock
        if making_stock:
            return f"{reading(stock.take, reply)} filled up to {shown(stock.volume, 'mL', 4)}"
        return f"{reading(stock.dose_reading, reply)} of its stock solution"
    read = None if amount is None else amount.reading
    unit = "" if read is None else reply.units[read.tool]
    found = []
    if step.mass > 0.0:
        by_mass = read is not None and read.by_mass
        found.append(in_tool(step.mass, unit if by_mass else "", Kind.MASS, system))
    if step.volume > 0.0:
        by_volume = read is not None and not read.by_mass
        found.append(in_tool(step.volume, unit if by_volume else "", Kind.VOLUME, system))
    if step.action.value.startswith(("pour water", "fill")) or (read and not read.by_mass):
        found.reverse()
    return " or ".join(found)


def _warmth(step: Any) -> Iterator[str]:
    """How warm it gets and how long to wait, where that is worth a line."""
    if step.after is not None and step.after.high - step.before > 1.0 and step.mass > 0.0:
        yield f"It warms from {shown(step.before, 'degC')} to {span(step.after, 'degC')}."
    if step.wait.best >= 300.0:
        yield f"Allow {duration(step.wait)}."


def _outcome(page: Page, reply: "MakeReply") -> None:
    plan = reply.plan
    page.head("WHAT COMES OUT (nine times in ten)")
    page.table(
        [
            ("", "", "what will do"),
            *(
                (
                    first_up(one.quantity),
                    spread(one.value, concentration_unit(one.quantity)),
                    "" if one.wanted is None else span(
                        one.wanted, concentration_unit(one.quantity))
                    + ("" if one.within else "  OUTSIDE"),
                )
                for one in plan.composition
            ),
            ("Volume at 20 °C", spread(plan.volume, "L"), ""),
            ("Density at 20 °C", spread(plan.density, "g/mL", 4), "check it by this"),
        ]
    )  # fmt: skip
    if plan.withdrawn > 0.0:
        page.say(f"{shown(plan.withdrawn, 'L')} of the old bath are withdrawn, and kept.")
    if plan.chloride:
        page.head("CHLORIDE, and where it comes from")
        page.table(
            [
                ("", "as content", "as impurity"),
                *(
                    (one.product, span(one.as_content, "mg/L"), span(one.as_impurity, "mg/L"))
                    for one in plan.chloride
                ),
            ]
        )
    page.points(
        "DOES IT STAY DISSOLVED?",
        [
            f"{first_up(one.when)}, at {shown(one.temperature, 'degC')}: "
            f"{span(one.dissolves, 'g/L')} dissolve, it holds {span(one.holds, 'g/L')}"
            + (
                f"; it may still grow by {percent(max(one.margin.low, 0.0))} before it "
                "crystallises."
                if one.sure
                else ". CRYSTALS MAY COME."
            )
            for one in plan.solubility
        ],
    )
