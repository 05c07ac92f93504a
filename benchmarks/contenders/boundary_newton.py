"""Newton on boundary equations, for peers that offer only the two boundary operators.

    (M / 2 + K) phi + V i / kappa = 0 with outward normals, i = law(metal - phi) on each triangle;
the cathode's potential is bordered in, so that the cathode takes the given current. All values are
one a triangle; M is the areas. GMRES is preconditioned by the diagonal.
"""

from collections.abc import Callable

import numpy as np
import task
from scipy.sparse.linalg import LinearOperator, gmres

Product = Callable[[np.ndarray], np.ndarray]


class BoundaryCell:
    """One closed surface: walls and liquid surface, whose rate is zero, anodes and cathode."""

    def __init__(
        self, surface: task.Surface, single: Product, double: Product, diagonal: np.ndarray
    ) -> None:
        self.single, self.double, self.diagonal = single, double, diagonal
        self.areas = surface.areas
        self.cathode, self.anode = surface.body == task.CATHODE, surface.body == task.ANODE
        self.exchange = (
            task.EXCHANGE[task.CATHODE] * self.cathode + task.EXCHANGE[task.ANODE] * self.anode
        )
        self.phi, self.metal = np.zeros(len(self.areas)), 0.0
        self.newton = self.linear = 0

    def solved(self, total: float) -> np.ndarray:
        """Current density on every triangle [A m⁻²]."""
        if self.newton == 0:
            self._start(total)
        largest = np.inf
        while largest > task.RESIDUAL * abs(self.metal):
            current, slope = self._rates()
            flux = current / task.CONDUCTIVITY
            residual = self.areas * self.phi / 2 + self.double(self.phi) + self.single(flux)
            miss = float((self.areas * current)[self.cathode].sum()) - total
            step, change = self._step(residual, miss, slope)
            largest = max(float(np.abs(step).max()), abs(change))
            damping = min(1.0, 0.5 / largest)
            self.phi, self.metal = self.phi - damping * step, self.metal - damping * change
            self.newton += 1
            if not np.isfinite(largest) or self.newton > 200:
                raise RuntimeError(f"Newton does not converge: last step {largest:.3g} V")
        return self._rates()[0]

    def _start(self, total: float) -> None:
        area = [float(self.areas[mask].sum()) for mask in (self.cathode, self.anode)]
        anodic = task.at_current(-total / area[1], task.EXCHANGE[task.ANODE])
        self.phi[:] = -anodic
        self.metal = task.at_current(total / area[0], task.EXCHANGE[task.CATHODE]) - anodic

    def _rates(self) -> tuple[np.ndarray, np.ndarray]:
        eta = np.where(self.cathode, self.metal, 0.0) - self.phi
        eta[self.exchange == 0.0] = 0.0
        current, slope = task.butler_volmer(eta, 1.0)
        return self.exchange * current, self.exchange * slope

    def _step(
        self, residual: np.ndarray, miss: float, slope: np.ndarray
    ) -> tuple[np.ndarray, float]:
        weight = self.areas * slope * self.cathode
        corner = float(weight.sum())
        column = self.single(slope * self.cathode / task.CONDUCTIVITY)
        scale = self.areas / 2 - self.diagonal * slope / task.CONDUCTIVITY

        def jacobian(x: np.ndarray) -> np.ndarray:
            phi, metal = x[:-1], x[-1]
            top = self.areas * phi / 2 + self.double(phi)
            top -= self.single(slope * phi / task.CONDUCTIVITY)
            return np.append(
                (top + metal * column) / scale, (corner * metal - weight @ phi) / corner
            )

        count = len(residual) + 1
        steps = [0]

        def counted(_: float) -> None:
            steps[0] += 1

        solution, failed = gmres(
            LinearOperator((count, count), matvec=jacobian, dtype=float),
            np.append(residual / scale, miss / corner),
            rtol=1e-3, restart=100, maxiter=3, callback=counted, callback_type="pr_norm",
        )  # fmt: skip
        if failed:
            raise RuntimeError("GMRES does not converge")
        self.linear += steps[0]
        return solution[:-1], float(solution[-1])
