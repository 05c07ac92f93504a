"""What every form of the boundary operators offers, dense or compressed.

With y the collocation points and n the normals into the solution:
    (S q)(y) = integral of q(x) / (4 pi |x - y|)                   single layer [m]
    (K u)(y) = integral of u(x) d/dn(x) 1 / (4 pi |x - y|)         double layer [-], no jump term
each with the mirror image above the liquid's surface added. A potential that is harmonic in the
solution obeys, for flat panels and n INTO the solution,
    1/2 phi - K phi + S (d phi / d n) = 0,   and  K 1 = 1/2 on a closed boundary.
"""

from typing import Protocol

from tankside.base.arrays import Floats
from tankside.field.panels import Panels


class Preconditioner(Protocol):
    """An approximate inverse of the local operator, for one choice of weights."""

    def __call__(self, residual: Floats) -> Floats:
        """Approximate solution of J x = residual (n,)."""
        ...

    def updated(
        self, potential_weight: Floats, flux_weight: Floats, noticeable: float = 0.3
    ) -> "Preconditioner":
        """For new weights; parts whose weights changed in balance by less than `noticeable` [-] may
        be kept as they are."""
        ...


class Operators(Protocol):
    """The two boundary operators of a set of panels."""

    @property
    def panels(self) -> Panels:
        """The panels in the order in which vectors are given."""
        ...

    @property
    def closure(self) -> float:
        """max |1/2 - K 1| over the panels: zero for exact operators on a closed boundary."""
        ...

    @property
    def warnings(self) -> tuple[str, ...]:
        """Sentences on what not to rely on; none for a good boundary."""
        ...

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential, in one pass (n,): add potential / 2 for the boundary residual."""
        ...

    def preconditioner(self, potential_weight: Floats, flux_weight: Floats) -> Preconditioner:
        """Approximate inverse of x -> (1/2 - K)(potential_weight x) + S (flux_weight x)."""
        ...
