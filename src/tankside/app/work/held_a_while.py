"""Values that are costly to make and are asked for again and again, each held for a while."""

import time
from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class HeldAWhile(Generic[T]):
    """Values by an id, made anew once they are older than `seconds`. Not safe by itself to use from
    several threads."""

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self._held: dict[str, tuple[float, T]] = {}

    def of(self, id: str, make: Callable[[], T], *, anew: Callable[[T], bool] | None = None) -> T:
        """The value of an id, by `make` where none is fresh, or where `anew` says so of the one
        that is held."""
        at, held = self._held.get(id, (0.0, None))
        if held is not None and time.monotonic() - at < self._seconds:
            if anew is None or not anew(held):
                return held
        made = make()
        self._held[id] = (time.monotonic(), made)
        return made

    def forget(self, id: str) -> None:
        """Made anew when it is asked for next."""
        self._held.pop(id, None)
