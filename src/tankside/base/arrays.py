"""Read-only arrays, so that a value handed from room to room cannot change under anyone."""

from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]


def frozen_floats(values: npt.ArrayLike) -> Floats:
    """A read-only float64 copy of `values`."""
    return _frozen(np.array(values, dtype=np.float64, order="C", copy=True))


def frozen_ints(values: npt.ArrayLike) -> Ints:
    """A read-only int64 copy of `values`."""
    return _frozen(np.array(values, dtype=np.int64, order="C", copy=True))


def frozen_bools(values: npt.ArrayLike) -> Bools:
    """A read-only boolean copy of `values`."""
    return _frozen(np.array(values, dtype=np.bool_, order="C", copy=True))


def _frozen(array: npt.NDArray[Any]) -> npt.NDArray[Any]:
    array.setflags(write=False)
    return array
