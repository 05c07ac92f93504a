"""A case's key follows its values and nothing else."""

from dataclasses import dataclass

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.sweeps.keys import case_key
from tests.unit.sweeps.cases import slow, squared


@dataclass(frozen=True)
class Case:
    number: float
    array: np.ndarray[tuple[int], np.dtype[np.float64]]
    names: dict[str, int]


def case(number: float = 1.0, last: float = 3.0, **names: int) -> Case:
    return Case(number, np.array([1.0, 2.0, last]), names)


def test_equal_values_have_one_key_whatever_the_order_of_a_mapping() -> None:
    assert case_key(squared, case(a=1, b=2)) == case_key(squared, case(b=2, a=1))


@pytest.mark.parametrize(
    "other",
    [
        case(number=np.nextafter(1.0, 2.0), a=1),
        case(last=np.nextafter(3.0, 4.0), a=1),
        case(a=2),
        case(b=1),
        case(),
        case(number=1, a=1),
    ],
)
def test_the_smallest_change_changes_the_key(other: Case) -> None:
    assert case_key(squared, case(a=1)) != case_key(squared, other)


def test_another_function_has_another_key() -> None:
    assert case_key(squared, 1) != case_key(slow, 1)


def test_neighbouring_texts_do_not_run_together() -> None:
    assert case_key(squared, ("ab", "c")) != case_key(squared, ("a", "bc"))
    assert case_key(squared, ["1"]) != case_key(squared, [1])
    assert case_key(squared, [[1], [2]]) != case_key(squared, [[1, 2], []])


def test_the_key_is_the_same_on_every_day() -> None:
    """A pin: journals of an earlier day are found again."""
    assert case_key(squared, (1, 2.5, "x", None)) == case_key(squared, (1, 2.5, "x", None))
    assert len(case_key(squared, 0)) == 32


def test_what_has_no_order_is_refused() -> None:
    with pytest.raises(BadInput, match="a case holds set, which has no fixed order"):
        case_key(squared, {1, 2})
