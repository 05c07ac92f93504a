"""tankside bath forecast and next: what is to come, and what to measure before it does."""

import argparse
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.files import asked, content
from tankside.cli.bath.pages import (
    Page,
    concentration_unit,
    first_up,
    percent,
    plain,
    print_json,
    spread,
)
from tankside.cli.bath.telling import WORDS

if TYPE_CHECKING:
    from tankside.app.bath.forecast_a_bath import ForecastReply
    from tankside.app.bath.most_worth_measuring import NextReply
    from tankside.app.ports import Tools

_ROWS = 5

_SHORT = {
    "copper": "copper",
    "sulfuric_acid": "acid",
    "chloride": "chloride",
    "additive": "additive",
    "volume": "volume",
}


def forecast(options: argparse.Namespace, tools: "Tools") -> int:
    """Looks ahead and prints."""
    from tankside.app.bath.forecast_a_bath import ForecastRequest, forecast_a_bath

    shelf, shelf_name = content(options.shelf, tools, "--shelf")
    reply = forecast_a_bath(
        ForecastRequest(
            asked=asked(options, tools, options.ledger),
            week=options.per_week,
            weeks=options.weeks,
            hardness=options.hardness,
            shelf=shelf,
            shelf_name=shelf_name,
        )
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    _forecast_page(reply, str(options.ledger)).printed()
    return 0


def next(options: argparse.Namespace, tools: "Tools") -> int:
    """Ranks the measurements and prints."""
    from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement

    reply = next_measurement(
        NextRequest(
            asked=asked(options, tools, options.ledger),
            week=options.per_week,
            weeks=options.weeks,
        )
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    _next_page(reply, options).printed()
    return 0


def _forecast_page(reply: "ForecastReply", name: str) -> Page:
    from tankside.app.bath.moments import told_day

    ahead = reply.ahead
    page = Page(f"{name}: the next {reply.weeks} weeks, topped up with {reply.years[0].water}")
    page.points("MIND", reply.notes, mark="!")
    page.points(
        "WHEN IT LEAVES ITS WINDOW", [_leaving(one, float(ahead.at[0])) for one in ahead.leaving]
    )
    page.say(f"Windows: {reply.whose}.")
    page.head("WEEK BY WEEK (nine times in ten)")
    names = ("copper", "sulfuric_acid", "chloride", "volume")
    weeks = sorted({round(reply.weeks * step / _ROWS) for step in range(_ROWS + 1)})
    page.table(
        [
            ("", *(f"{plain(one)}, {concentration_unit(one)}" for one in names)),
            *(
                (
                    told_day(float(ahead.at[week])),
                    *(
                        spread(ahead.interval(one, week), concentration_unit(one), with_unit=False)
                        for one in names
                    ),
                )
                for week in weeks
            ),
        ]
    )
    page.points("WATER", [f"{one.note} Poured in: {one.top_up:.0f} kg." for one in reply.years])
    return page


def _leaving(one: Any, at: float) -> str:
    from tankside.app.bath.moments import told_day

    name = WORDS[one.quantity]
    if one.probability_now > 0.5:
        return f"{name}: it is {one.side} already, with {percent(one.probability_now)}."
    soon = "now" if one.earliest == at else told_day(one.earliest or at)
    if one.likely is None:
        chance = percent(one.probability_then)
        early = "" if one.earliest is None else f", from {soon} at the earliest"
        return f"{name}: probably stays inside; {chance} that it is {one.side} by the end{early}."
    late = "beyond the end" if one.latest is None else told_day(one.latest)
    return (
        f"{name}: {one.side} the window from about {told_day(one.likely)} (from {soon} at the "
        f"earliest, {late} at the latest)."
    )


def _next_page(reply: "NextReply", options: argparse.Namespace) -> Page:
    then = f"in {options.weeks} weeks" if reply.ahead else "now"
    page = Page(f"{options.ledger}: what to measure, for what is decided {then}")
    page.points("MIND", reply.notes, mark="!")
    if not reply.open:
        page.say(
            "No decision hangs on any of them: the bath is surely inside, or surely outside. What "
            "narrows most for the time that it takes comes first."
        )
    page.head("WORTH, best first")
    rows = [("", "minutes", "fewer mistakes", "narrows")]
    for way, worth in reply.ranked:
        most = sorted(worth.narrowed.items(), key=lambda pair: -pair[1])
        told = ", ".join(
            f"{_SHORT[name]} by {percent(share)}" for name, share in most if share > 0.01
        )
        fewer = "none" if worth.fewer_errors < 5e-4 else f"{100 * worth.fewer_errors:.2g} in 100"
        rows.append((first_up(way.words), f"{way.minutes:.0f}", fewer, told or "nothing"))
    page.table(rows, right=(1, 2))
    page.say(f"Windows: {reply.whose}. Minutes are our guess.")
    return page
