"""A made field on a part, for the tests."""

import numpy as np

from tankside.diagnosis.place import FieldOnPart


def two_faced() -> FieldOnPart:
    """Two panels 20 mm apart: the right one over its limit (1.2), the left far below it (0.3)."""
    return FieldOnPart(
        centres=np.array([[0.01, 0.0, 0.0], [-0.01, 0.0, 0.0]]),
        normals=np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]),
        areas=np.array([1e-4, 1e-4]),
        current_density=np.array([1200.0, 300.0]),
        fraction_of_limit=np.array([1.2, 0.3]),
        anodes=np.array([[0.1, 0.0, 0.0]]),
        contacts=np.array([[0.0, 0.0, 0.01]]),
    )
