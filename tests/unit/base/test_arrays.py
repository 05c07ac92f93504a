"""Frozen arrays are copies that nobody can change."""

import numpy as np
import pytest

from tankside.base.arrays import frozen_bools, frozen_floats, frozen_ints


@pytest.mark.parametrize(
    ("freeze", "dtype"),
    [(frozen_floats, np.float64), (frozen_ints, np.int64), (frozen_bools, np.bool_)],
)
def test_frozen_means_copied_typed_and_read_only(freeze: object, dtype: type) -> None:
    original = np.array([[1, 0], [0, 1]])
    frozen = freeze(original)  # type: ignore[operator]
    original[0, 0] = 0
    assert frozen[0, 0] == 1
    assert frozen.dtype == dtype
    assert frozen.flags.c_contiguous
    with pytest.raises(ValueError, match="read-only"):
        frozen[0, 0] = 0
