"""A run as it was at one moment, for what only reads it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import nan
from typing import TYPE_CHECKING, Any

from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.run_ports import RunKeeper
    from tankside.runs.events import Event
    from tankside.runs.series import Series


@dataclass(frozen=True, kw_only=True)
class SeenRun:
    """See app.run_ports.RunKeeper; nothing can be added to it."""

    held_order: dict[str, Any]
    held_events: "tuple[Event, ...]"
    held_series: "Series"

    @classmethod
    def of(cls, keeper: "RunKeeper") -> "SeenRun":
        """What a keeper holds now."""
        return cls(
            held_order=keeper.order(), held_events=keeper.events(), held_series=keeper.series()
        )

    def order(self) -> dict[str, Any]:
        """The order as it was given."""
        return self.held_order

    def events(self) -> "tuple[Event, ...]":
        """All events up to then."""
        return self.held_events

    def add_events(self, events: "Sequence[Event]") -> None:
        """Refused."""
        raise BadInput("this is a run as it was; nothing can happen to it")

    def series(self) -> "Series":
        """All samples up to then."""
        return self.held_series

    def add_sample(
        self, time: float, voltage: float, current: float, temperature: float = nan
    ) -> None:
        """Refused."""
        raise BadInput("this is a run as it was; nothing can happen to it")

    def close(self) -> None:
        """Nothing is held open."""
