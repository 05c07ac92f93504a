"""What to do next in a run: the controller, as a function of what is known.

It follows the recipe by the time and the charge that were really plated, so that a pause, a gap or
a supply at its voltage limit only make the run longer, never thinner.
"""

from dataclasses import dataclass

from tankside.base.messages import Quantity, said
from tankside.runs.recipe import Recipe
from tankside.runs.states import RUNNING, RunState, Stage

UNPOWERED_WARNING_S = 60.0
"""Time in the bath without current from which a person is warned: a seed coat's metal and a first
copper film dissolve slowly in acid with air (common practice, no source)."""

_LONG_S = 7200.0
"""From here it is told in hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """Plating so far: time with current [s], charge [C]."""

    plated: float = 0.0
    charge: float = 0.0

    def since(self, earlier: "Amount") -> "Amount":
        """What came after `earlier`."""
        return Amount(plated=self.plated - earlier.plated, charge=self.charge - earlier.charge)

    def later(self, more: "Amount") -> "Amount":
        """With what came behind it."""
        return Amount(plated=self.plated + more.plated, charge=self.charge + more.charge)


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """What to do: put the recipe's setting of this number in force, or end where it is None;
    `begins_plating` where the long build begins with it."""

    number: int | None
    begins_plating: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """Time to go at the currents set [s], and the share of the recipe's charge done [-]."""

    to_go: float
    share: float


def next_of(recipe: Recipe, state: RunState, in_setting: Amount) -> Next | None:
    """What to do now, after `in_setting` since the setting in force began; None where everything is
    as it should be, or the run is not running."""
    if state.stage not in RUNNING:
        return None
    last = len(recipe.settings) - 1
    if state.number is None:
        number = 0
    elif recipe.settings[state.number].over(in_setting.plated, in_setting.charge):
        number = state.number + 1
    elif state.number == last and state.stage is Stage.RAMP:
        number = last
    else:
        return None
    if number > last:
        return Next(number=None)
    return Next(number=number, begins_plating=number == last and state.stage is Stage.RAMP)


def progress_of(recipe: Recipe, state: RunState, whole: Amount, in_setting: Amount) -> Progress:
    """How far a run is, from all that was plated and what came since the setting in force began."""
    share = min(1.0, whole.charge / recipe.expected_charge)
    if state.over:
        return Progress(to_go=0.0, share=share)
    if state.number is None:
        return Progress(to_go=recipe.expected_duration, share=share)
    later = sum(one.expected_duration for one in recipe.settings[state.number + 1 :])
    here = recipe.settings[state.number].to_go(in_setting.plated, in_setting.charge)
    return Progress(to_go=here + later, share=share)


def unpowered_warning(state: RunState, now: float) -> str:
    """A sentence where the part hangs in the acid without current for too long, else nothing."""
    waiting = state.unpowered_until(now)
    if not state.immersed or state.powered or waiting < UNPOWERED_WARNING_S:
        return ""
    waited = Quantity(waiting, "h" if waiting > _LONG_S else "min", decimals=0)
    if state.over:
        return said(
            "The part has hung in the acid without current for {time}: its copper "
            "dissolves. Lift it out and rinse it.",
            time=waited,
        )
    return said(
        "The part has hung in the acid without current for {time}: acid eats its copper "
        "and loosens a coat. "
        "Switch on, or lift it out and rinse it.",
        time=waited,
    )
