"""What is held is made anew once it is old, forgotten, or said to be stale."""

import time

from tankside.app.work.held_a_while import HeldAWhile


def test_a_value_is_made_once_while_it_is_fresh() -> None:
    made = iter(range(9))
    held = HeldAWhile[int](60.0)
    assert [held.of("run", lambda: next(made)) for _ in range(3)] == [0, 0, 0]
    assert held.of("other", lambda: next(made)) == 1
    assert held.of("run", lambda: next(made), anew=lambda value: value == 0) == 2
    held.forget("run")
    assert held.of("run", lambda: next(made)) == 3


def test_an_old_value_is_made_anew() -> None:
    made = iter(range(9))
    held = HeldAWhile[int](0.001)
    assert held.of("run", lambda: next(made)) == 0
    time.sleep(0.01)
    assert held.of("run", lambda: next(made)) == 1
