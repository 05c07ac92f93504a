"""The exponential of the rate laws, kept finite without bending any answer.

Up to an argument of 200 it is the exponential itself; beyond, its tangent, so that an iteration
that strays there still sees a finite, strictly rising, once differentiable function and comes back.
No state of a cell lies there: 1e-6 A m⁻² times e²⁰⁰ is 1e80 A m⁻².
"""

import numpy as np

from tankside.base.arrays import Floats

LARGEST_ARGUMENT = 200.0
"""Argument up to which the exponential is exact [-]."""


def guarded_rise(argument: Floats) -> tuple[Floats, Floats]:
    """(exp - 1, its derivative) at `argument` [-], the tangent above LARGEST_ARGUMENT; exact to
    rounding also where the argument is small."""
    inside = np.minimum(argument, LARGEST_ARGUMENT)
    rise = np.expm1(inside)
    derivative = rise + 1.0
    return rise + derivative * (argument - inside), derivative
