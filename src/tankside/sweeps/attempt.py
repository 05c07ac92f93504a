"""One case tried: its value, or what went wrong in one sentence. Runs in the worker."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tankside.base.errors import Cancelled, TanksideError


@dataclass(frozen=True, slots=True)
class Attempt:
    """The value, or the error's sentence where there is one."""

    value: Any = None
    error: str = ""


def attempted(function: Callable[[Any], Any], case: object) -> Attempt:
    """function(case), or its error. What stops the process is let through."""
    try:
        return Attempt(function(case))
    except Cancelled:
        raise
    except TanksideError as error:
        return Attempt(error=str(error))
    except Exception as error:  # a case's own fault must not take the sweep with it
        return Attempt(error=f"{type(error).__name__}: {error}")
