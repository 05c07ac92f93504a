"""Use case: where a run stands, from its folder alone."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

from tankside.app.order_a_run import Order
from tankside.app.run_by_hand import HandRun, stage_words
from tankside.app.run_ports import RunKeeper
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.runs import events as e
from tankside.runs.series import Totals, longest_gap_of, totals
from tankside.runs.states import RunState, replayed


@dataclass(frozen=True, kw_only=True)
class ShowReply:
    """State, totals, and the alarms in words."""

    order: Order
    state: RunState
    totals: Totals
    by_hand: bool
    alarms: tuple[tuple[float, str], ...]

    @property
    def charge(self) -> float:
        """Counted so far [C]."""
        return self.totals.charge

    def as_json(self) -> Mapping[str, Any]:
        """Keys with their units."""
        return {
            "title": self.order.title,
            "stage": self.state.stage.value,
            "charge_Ah": self.charge / 3600,
            "share": min(1.0, self.charge / self.order.recipe.expected_charge),
            "copper_g": 1e3 * self.charge * COPPER_PER_CHARGE_KG_PER_C,
            "energy_Wh": self.totals.energy / 3600,
            "sampled_h": self.totals.sampled / 3600,
            "gaps_h": self.totals.unknown / 3600,
            "unpowered_in_bath_s": self.state.unpowered_in_bath,
            "by_hand": self.by_hand,
            "alarms": [{"at_s": at, "seen": words} for at, words in self.alarms],
        }

    def text(self) -> str:
        """A few lines for a terminal."""
        row = self.as_json()
        lines = [
            f"{self.order.title}: {stage_words(self.state)}",
            f"  {row['charge_Ah']:.3f} Ah, {100 * row['share']:.0f} % of the plan; up to "
            f"{row['copper_g']:.3g} g of copper on part and wires",
            f"  {row['energy_Wh']:.3g} Wh; {row['sampled_h']:.2f} h watched, "
            f"{row['gaps_h']:.2f} h unknown",
        ]
        if self.state.unpowered_in_bath > 0.0:
            lines.append(f"  {self.state.unpowered_in_bath:.0f} s in the bath without current")
        lines += [f"  ! {words}" for _, words in self.alarms]
        return "\n".join(lines) + "\n"


def show_a_run(order: Order, keeper: RunKeeper) -> ShowReply:
    """Where the run stands."""
    events = keeper.events()
    by_hand = any(isinstance(event, e.Read) for event in events)
    if by_hand:
        counted = HandRun(order.recipe, order.expected, keeper)
        series, longest = counted.series(), 6 * 3600.0
        found = totals(series, longest)
    else:
        ramp = next((one.at for one in events if isinstance(one, e.RampStarted)), inf)
        series = keeper.series().between(ramp, inf)
        found = totals(series, longest_gap_of(series))
    return ShowReply(
        order=order,
        state=replayed(events),
        totals=found,
        by_hand=by_hand,
        alarms=tuple((one.at, one.words) for one in events if isinstance(one, e.AlarmRaised)),
    )
