"""A run as a page shows it: where it stands, what is set, what is due, in plain values."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order
    from tankside.runs.events import Event
    from tankside.runs.states import RunState

ALARMS_SHOWN = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeRow:
    """One setting of the recipe: number from 0, what it is for, current [A], voltage limit [V], how
    long it should last [s] and lay down [C]; `standing` is "done", "now" or "later"."""

    number: int
    words: str
    current: float
    voltage_limit: float
    duration: float
    charge: float
    standing: Literal["done", "now", "later"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """A run as a page shows it: voltage [V], current [A], charge [C], times [s], share [-].

    stage        the state's word; `connected` whether a supply follows it now
    by_hand      whether a person turns the knob and types what the meters show
    unpowered    how long the part has hung in the bath without current [s]
    reading_due  when the meters are to be read next [s since 1970]; None where nobody has to
    told         what went wrong on the way, in a sentence, or ""
    alarms       moments [s since 1970], what was seen, and what to do; `unseen` how many of all
                 alarms nobody has answered yet
    plan         id of the work that planned it, or ""; `kept` its id in the store, or ""
    """

    id: str
    title: str
    supply: str
    hurry: float
    stage: str
    connected: bool
    powered: bool
    voltage: float | None
    expected_voltage: float | None
    current: float | None
    set_current: float
    charge: float
    planned_charge: float
    share: float
    to_go: float
    plated: float
    alarms: tuple[tuple[float, str, str], ...]
    warning: str
    told: str
    cautions: tuple[str, ...]
    set_voltage: float = 0.0
    by_hand: bool = False
    immersed: bool = False
    unpowered: float = 0.0
    unseen: int = 0
    rows: tuple[RecipeRow, ...] = ()
    reading_due: float | None = None
    readings: int = 0
    created: float = 0.0
    plan: str = ""
    kept: str = ""

    @property
    def over(self) -> bool:
        """True once it is ended or given up."""
        return self.stage in ("ended", "aborted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What a view is made from: the run's order, events and state; what was plated [s] and laid
    down [C]; and what follows it now, where something does."""

    order: "Order"
    events: "Sequence[Event]"
    state: "RunState"
    charge: float
    plated: float
    to_go: float | None = None
    connected: bool = False
    by_hand: bool = False
    voltage: float | None = None
    current: float | None = None
    expected_voltage: float | None = None
    reading_due: float | None = None
    warning: str = ""
    unpowered: float | None = None
    """By its supply's clock, which a hurried run's is not the wall's."""


def view_of(
    id: str,
    how: Mapping[str, Any],
    stands: Standing,
    *,
    now: float,
    told: str,
    remedies: Mapping[str, str],
) -> RunView:
    """The view at a moment [s since 1970]; `remedies` say what to do by what was seen."""
    from tankside.runs.events import AlarmRaised, Read

    order, state = stands.order, stands.state
    planned = order.recipe.expected_charge
    share = min(1.0, stands.charge / planned)
    alarms = [one for one in stands.events if isinstance(one, AlarmRaised)]
    setting = order.recipe.settings[state.number or 0]
    to_go = (1.0 - share) * order.recipe.expected_duration if stands.to_go is None else stands.to_go
    return RunView(
        id=id,
        title=order.title,
        supply=str(how["supply"]),
        hurry=float(how["hurry"]),
        stage=state.stage.value,
        connected=stands.connected,
        powered=state.powered,
        voltage=stands.voltage,
        expected_voltage=stands.expected_voltage,
        current=stands.current,
        set_current=state.current or setting.current,
        set_voltage=state.voltage_limit or setting.voltage_limit,
        charge=stands.charge,
        planned_charge=planned,
        share=share,
        to_go=0.0 if state.stage.value == "ended" else to_go,
        plated=stands.plated,
        alarms=tuple(
            (one.at, one.words, remedies.get(one.words, "")) for one in alarms[-ALARMS_SHOWN:][::-1]
        ),
        unseen=len(state.open_alarms),
        warning=stands.warning,
        told=told,
        cautions=order.cautions,
        by_hand=stands.by_hand,
        immersed=state.immersed,
        unpowered=_unpowered(stands, now),
        rows=_rows(order, state),
        reading_due=stands.reading_due,
        readings=sum(isinstance(one, Read) for one in stands.events),
        created=float(how["created"]),
        plan=str(how.get("plan", "")),
        kept=str(how.get("kept", "")),
    )


def _unpowered(stands: Standing, now: float) -> float:
    if stands.unpowered is not None:
        return stands.unpowered
    return stands.state.unpowered_until(now) if stands.state.at else 0.0


def _rows(order: "Order", state: "RunState") -> tuple[RecipeRow, ...]:
    """The recipe, with the row that holds."""
    holds = -1 if state.number is None else state.number
    if state.stage.value == "ended":
        holds = len(order.recipe.settings)
    return tuple(
        RecipeRow(
            number=number,
            words=one.words,
            current=one.current,
            voltage_limit=one.voltage_limit,
            duration=one.expected_duration,
            charge=one.current * one.expected_duration,
            standing="done" if number < holds else "now" if number == holds else "later",
        )
        for number, one in enumerate(order.recipe.settings)
    )
