"""An electrode without polarisation: the primary current distribution.

The solution at the electrode takes the metal's potential. It is written as linear polarisation with
a resistance so small that the solution within a millionth of `length` has more: the load-line
unknown of the solver keeps that limit as well posed as any other.
"""

from tankside.field.kinetics.linear_polarisation import LinearPolarisation
from tankside.field.kinetics.parameters import require_positive

RELATIVE_RESISTANCE = 1e-6
"""Resistance of the electrode over that of a layer of solution `length` thick [-]."""


def fixed_potential(*, conductivity: float, length: float) -> LinearPolarisation:
    """The primary limit for a cell of `length` [m] in a solution of `conductivity` [S m⁻¹]."""
    require_positive("fixed potential", conductivity=conductivity, length=length)
    return LinearPolarisation(resistance=RELATIVE_RESISTANCE * length / conductivity)
