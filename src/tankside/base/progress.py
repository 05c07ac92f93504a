"""How long work tells where it stands, and how it is stopped.

A long function takes `progress: Progress = silent` and calls it now and then with the stage in
plain words and the fraction done. The callable may raise `Cancelled`; the function lets it pass.
"""

from collections.abc import Callable

Progress = Callable[[str, float], None]
"""Called with (stage in plain words, fraction of that stage done from 0 to 1)."""


def silent(stage: str, fraction: float) -> None:
    """Progress that nobody watches."""
