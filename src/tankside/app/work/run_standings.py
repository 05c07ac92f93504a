"""Where a run stands: on its supply now, or from its folder alone."""

import time
from typing import TYPE_CHECKING

from tankside.app.work.run_view import Standing

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order
    from tankside.app.run_ports import RunKeeper
    from tankside.app.work.run_life import Watched


def standing_of_supply(watched: "Watched", order: "Order") -> Standing | None:
    """While a supply follows it; None before its thread has taken the supply."""
    from tankside.runs.conduct import progress_of

    live, moment = watched.live, watched.moment
    if live is None:
        return None
    shown = moment.reading if moment is not None and live.state.powered else None
    in_setting = live.amount.since(live.at_setting)
    return Standing(
        order=order,
        events=live.keeper.events(),
        state=live.state,
        charge=live.amount.charge,
        plated=live.amount.plated,
        to_go=progress_of(live.recipe, live.state, live.amount, in_setting).to_go,
        connected=True,
        voltage=shown.voltage if shown else None,
        current=shown.current if shown else None,
        expected_voltage=moment.expected_voltage if moment and shown else None,
        warning=moment.warning if moment else "",
        unpowered=moment.unpowered if moment else None,
    )


def standing_of_folder(order: "Order", keeper: "RunKeeper") -> Standing:
    """While nothing follows it."""
    from tankside.app.show_a_run import show_a_run
    from tankside.runs.conduct import unpowered_warning

    shown = show_a_run(order, keeper)
    return Standing(
        order=order,
        events=keeper.events(),
        state=shown.state,
        charge=shown.charge,
        plated=shown.totals.sampled,
        warning="" if shown.state.over else unpowered_warning(shown.state, time.time()),
    )
