"""tankside bath state LEDGER: what is in the bath, how sure, what was odd, what was learned."""

import argparse
import time
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.files import asked
from tankside.cli.bath.pages import (
    Page,
    concentration_unit,
    first_up,
    percent,
    plain,
    print_json,
    span,
    spread,
)

if TYPE_CHECKING:
    from tankside.app.bath.tell_the_state import StateReply
    from tankside.app.ports import Tools

WORDS = {
    "copper": "Copper (metal)",
    "sulfuric_acid": "Sulfuric acid",
    "chloride": "Chloride",
    "additive": "Additive (indicative)",
    "volume": "Volume",
}
"""How a quantity of the ledger is told."""


def state(options: argparse.Namespace, tools: "Tools") -> int:
    """Estimates and prints."""
    from tankside.app.bath.tell_the_state import StateRequest, tell_the_state

    ledger = asked(options, tools, options.ledger)
    reply = tell_the_state(StateRequest(asked=ledger, now=time.time(), at=options.at))
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_a_record
        from tankside.cli.bath.printing import printed

        title = options.ledger.stem
        printed(options, tools, lambda how, sheets: print_a_record(ledger, title, how, sheets))
    if options.json:
        print_json(reply.as_json())
        return 0
    _page(reply, str(options.ledger)).printed()
    return 0


def _page(reply: "StateReply", name: str) -> Page:
    from tankside.app.bath.moments import told_moment
    from tankside.base.intervals import Interval

    page = Page(f"{name}: the bath at {told_moment(reply.at)}, by {reply.events} events and "
                f"{reply.readings} readings")  # fmt: skip
    page.points("MIND", [*(_surprise(one) for one in reply.surprises), *reply.notes], mark="!")
    page.head("IN THE BATH (nine times in ten)")
    rows = [("", "", "window", "inside", "")]
    for one in reply.held:
        unit = concentration_unit(one.quantity)
        window = ""
        if one.window is not None:
            low, high = one.window
            window = span(Interval(low, low, high), unit)
        rows.append(
            (
                WORDS[one.quantity],
                spread(one.value, unit),
                window,
                "" if one.inside is None else percent(one.inside),
                one.side.upper() if one.side in ("below", "above") else "",
            )
        )
    page.table(rows, right=(3,))
    page.say(f"Windows: {reply.whose}.")
    page.points("WHAT THE LEDGER HAS TAUGHT", [_learned(one) for one in reply.learned])
    return page


def _surprise(one: Any) -> str:
    from tankside.app.bath.moments import told_moment

    return (
        f"{first_up(plain(one.quantity))} of {told_moment(one.at)} [{one.event}] was read as "
        f"{_value(one.quantity, one.value)} where everything else lets one expect "
        f"{_value(one.quantity, one.expected)}: set aside. Measure it again."
    )


def _value(quantity: str, value: float) -> str:
    if quantity in WORDS:
        factor = 1e3 if quantity in ("chloride", "volume") else 1.0
        return f"{factor * value:.4g} {concentration_unit(quantity)}"
    return f"{value:.4g} {'S/m' if quantity == 'conductivity' else 'kg/m³'}"


_LEARNED_IN: dict[str, tuple[float, str]] = {
    "1": (1.0, "times"),
    "1/day": (100.0, "% a day"),
    "m": (1e4, "mL/dm²"),
    "kg/(m2 s)": (1e3 * 3600.0 * 1e-2, "g/dm² in an hour"),
    "m3/C": (1e3 * 3600.0, "L/Ah"),
    "kg/kg": (1e6, "mg/kg"),
    "kg/m3": (1.0, "g/L"),
}
"""Units of the learned parameters as a bench tells them: factor and unit."""


def _learned(one: Any) -> str:
    from tankside.app.bath.tell_the_state import learned_words

    words = learned_words(one.name)
    factor, unit = _LEARNED_IN.get(one.unit, (1.0, one.unit))
    if one.unit == "1" and ("relative" in words or "share" in words):
        factor, unit = 100.0, "%"
    least = 0.0 if one.name.startswith("chloride of") else float("-inf")
    best, low, high, before, after = (
        f"{max(end, least) * factor:.3g}"
        for end in (one.learned.best, one.learned.low, one.learned.high, one.believed.low,
                    one.believed.high)
    )  # fmt: skip
    return (
        f"{first_up(words)}: {best} {unit} ({low} to {high}); before, {before} to {after} was "
        "believed."
    )
