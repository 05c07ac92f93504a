"""NGSolve: finite elements on TetGen's volume mesh of the same surface triangles.

Settings, each as NAME=VALUE: order (2), tetgen's switches, preconditioner. Of the preconditioners
"local" (blocks of edges and vertices) was fastest in all sizes here; "amg" adds an algebraic
multigrid on the vertices, "bddc" amounts to a factorisation at this order, "direct" is one.
"""

import os

import netgen.meshing as nm
import ngsolve as ng
import numpy as np
import task
import tetgen


def solved(
    surface: task.Surface, what: str, settings: dict[str, str], clock: task.Clock
) -> tuple[np.ndarray, float, dict]:
    order = int(settings.get("order", "2"))
    volume = tetrahedra(surface, settings.get("switches", "pq1.4/10YQ"))
    clock.lap("tetgen")
    mesh = ngsolve_mesh(surface, *volume)
    clock.lap("mesh handed over")
    cell = Cell(surface, mesh, order, settings.get("preconditioner", "local"), clock)
    thickness = 0.0
    for mean in task.MEAN[what]:
        cell.solved(mean * surface.cathode_area)
        current = cell.patch_currents(surface)
        thickness = thickness + task.THICKNESS_PER_CHARGE * task.STEP_SECONDS * current
    clock.lap("solve")
    more = {
        "unknowns": cell.space.ndof,
        "tetrahedra": len(volume[1]),
        "iterations": [cell.newton, cell.linear],
    }
    return current if what == "one" else thickness, -cell.voltage, more


def tetrahedra(surface: task.Surface, switches: str) -> tuple[np.ndarray, np.ndarray]:
    """Points and corners of tetrahedra in the solution; the surface's points come first."""
    tool = tetgen.TetGen(surface.points, surface.triangles.astype(np.int32))
    for hole in holes(surface):
        tool.add_hole(hole)
    points, corners, *_ = tool.tetrahedralize(switches=switches)
    return np.asarray(points), np.asarray(corners)


def holes(surface: task.Surface) -> list[np.ndarray]:
    """A point inside each metal body that stands in the solution: under a triangle's middle."""
    out = []
    corners = surface.points[surface.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    middles = corners.mean(axis=1)
    cathode = np.flatnonzero(surface.body == task.CATHODE)[:1]
    out += [middles[k] - 1e-4 * normals[k] for k in cathode]
    if np.isfinite(surface.mirror):
        for side in (-1, 1):
            plate = np.flatnonzero((surface.body == task.ANODE) & (side * middles[:, 0] > 0))[:1]
            out += [middles[k] - 1e-4 * normals[k] for k in plate]
    return out


def ngsolve_mesh(surface: task.Surface, points: np.ndarray, corners: np.ndarray) -> ng.Mesh:
    """Boundaries are numbered: 1 walls, 2 anode, then one a patch of the cathode."""
    mesh = nm.Mesh(dim=3)
    mesh.AddPoints(np.ascontiguousarray(points))
    numbers = np.unique(surface.patch[surface.body == task.CATHODE])
    by_patch = numbers if np.isfinite(surface.mirror) else numbers[:1]
    kind = np.where(surface.body == task.ANODE, 2, 1)
    metal = surface.body == task.CATHODE
    kind[metal] = 3 + np.searchsorted(by_patch, surface.patch[metal]) if len(by_patch) > 1 else 3
    for number in range(1, 3 + len(by_patch)):
        mesh.Add(nm.FaceDescriptor(surfnr=number, domin=1, bc=number))
        mesh.SetBCName(number - 1, {1: "wall", 2: "anode"}.get(number, "cathode"))
    mesh.SetMaterial(1, "solution")
    mesh.AddElements(
        dim=3, index=1, data=np.ascontiguousarray(corners[:, [0, 1, 3, 2]], np.int32), base=0
    )
    for number in range(1, 3 + len(by_patch)):
        some = surface.triangles[kind == number].astype(np.int32)
        if len(some):
            mesh.AddElements(dim=2, index=number, data=np.ascontiguousarray(some), base=0)
    return ng.Mesh(mesh)


class Cell:
    """Elements of one order, and one number more: the cathode's potential, so that each Newton step
    is one symmetric positive definite system. The stiffness is assembled once, a Newton step
    assembles the electrodes' terms alone, and the preconditioner is kept."""

    def __init__(
        self, surface: task.Surface, mesh: ng.Mesh, order: int, kind: str, clock: task.Clock
    ) -> None:
        self.mesh, self.kind = mesh, kind
        number = ng.NumberSpace(mesh, definedon=mesh.Boundaries("cathode"))
        self.space = ng.H1(mesh, order=order) * number
        self.state = ng.GridFunction(self.space)
        self.phi, self.metal = self.state.components
        self.newton, self.linear, self.inverse = 0, 0, None
        (u, m), (v, n) = self.space.TnT()
        self.stiffness = ng.BilinearForm(self.space, symmetric=True)
        self.stiffness += task.CONDUCTIVITY * ng.grad(u) * ng.grad(v) * ng.dx
        self.stiffness.Assemble()
        self.anode = law(-self.phi, task.EXCHANGE[task.ANODE])
        self.cathode = law(self.metal - self.phi, task.EXCHANGE[task.CATHODE])
        self.load = ng.LinearForm(self.space)
        self.reaction = ng.BilinearForm(self.space, symmetric=True)
        for (current, slope), test, trial, name in (
            (self.anode, v, u, "anode"), (self.cathode, v - n, u - m, "cathode"),
        ):  # fmt: skip
            where = ng.ds(name, bonus_intorder=2)
            self.load += current * test * where
            self.reaction += -slope * trial * test * where
        self.areas = {
            name: ng.Integrate(1.0, mesh, definedon=mesh.Boundaries(name))
            for name in ("anode", "cathode")
        }
        clock.lap("stiffness")

    @property
    def voltage(self) -> float:
        return float(self.metal.vec.FV().NumPy()[0])

    def solved(self, total: float) -> None:
        """Newton from uniform current, or from the last solution."""
        if self.newton == 0:
            anodic = task.at_current(-total / self.areas["anode"], task.EXCHANGE[task.ANODE])
            cathodic = task.at_current(total / self.areas["cathode"], task.EXCHANGE[task.CATHODE])
            self.phi.Set(ng.CoefficientFunction(-anodic))
            self.metal.vec.FV().NumPy()[:] = cathodic - anodic
        residual, step = self.state.vec.CreateVector(), self.state.vec.CreateVector()
        largest, tolerance = np.inf, 1e-2
        while largest > task.RESIDUAL * abs(self.voltage):
            self.load.Assemble()
            self.reaction.Assemble()
            residual.data = self.stiffness.mat * self.state.vec + self.load.vec
            residual.FV().NumPy()[-1] += total
            self.solve(self.stiffness.mat + self.reaction.mat, residual, step, tolerance)
            last, largest = largest, float(np.abs(step.FV().NumPy()).max())
            tolerance = min(1e-2, max(1e-6, (largest / last) ** 2)) if np.isfinite(last) else 1e-3
            self.state.vec.data -= min(1.0, 0.5 / largest) * step
            self.newton += 1
            if not np.isfinite(largest) or self.newton > 400:
                raise RuntimeError(f"Newton does not converge: last step {largest:.3g} V")

    def solve(self, jacobian, right, out, tolerance: float) -> None:
        """jacobian x = right by conjugate gradients from zero."""
        if self.inverse is None:
            self.inverse = self.preconditioner()
        solver = ng.CGSolver(jacobian, self.inverse, tol=tolerance, maxiter=1000)
        out.data = solver * right
        self.linear += solver.iterations

    def preconditioner(self):
        """Of stiffness and reaction at the first state; kept for all steps."""
        form = self.whole_form()
        if self.kind == "direct":
            form.Assemble()
            return form.mat.Inverse(self.space.FreeDofs(), inverse="sparsecholesky")
        made = ng.Preconditioner(form, "local" if self.kind == "amg" else self.kind)
        form.Assemble()
        self.kept = [form, made]
        if self.kind != "amg":
            return made.mat
        vertices = ng.H1(self.mesh, order=1)
        coarse = ng.BilinearForm(vertices, symmetric=True)
        u, v = vertices.TnT()
        coarse += task.CONDUCTIVITY * ng.grad(u) * ng.grad(v) * ng.dx
        coarse += -self.anode[1] * u * v * ng.ds("anode")
        coarse += -self.cathode[1] * u * v * ng.ds("cathode")
        amg = ng.Preconditioner(coarse, "h1amg")
        coarse.Assemble()
        self.kept += [coarse, amg]
        embedding = ng.Embedding(self.space.ndof, ng.IntRange(0, vertices.ndof))
        return made.mat + embedding @ amg.mat @ embedding.T

    def whole_form(self) -> ng.BilinearForm:
        (u, m), (v, n) = self.space.TnT()
        form = ng.BilinearForm(self.space, symmetric=True)
        form += task.CONDUCTIVITY * ng.grad(u) * ng.grad(v) * ng.dx
        form += -self.anode[1] * u * v * ng.ds("anode")
        form += -self.cathode[1] * (u - m) * (v - n) * ng.ds("cathode")
        return form

    def patch_currents(self, surface: task.Surface) -> np.ndarray:
        """Mean current density on each cathode patch, or on each cathode triangle [A m⁻²]."""
        where = self.mesh.Boundaries("cathode")
        if np.isfinite(surface.mirror):
            values = ng.Integrate(self.cathode[0], self.mesh, ng.BND, order=5, region_wise=True)
            areas = ng.Integrate(1.0, self.mesh, ng.BND, region_wise=True)
            return np.array(values)[2:] / np.array(areas)[2:]
        values, areas = (
            ng.Integrate(f, self.mesh, ng.BND, definedon=where, order=5, element_wise=True)
            for f in (self.cathode[0], ng.CF(1.0))
        )
        kept = np.array(areas) > 0
        return np.array(values)[kept] / np.array(areas)[kept]


def law(eta: ng.CoefficientFunction, exchange: float) -> tuple:
    """Current density and slope, compiled expressions."""
    reduced = ng.exp(-task.CATHODIC / task.THERMAL_VOLTAGE * eta)
    oxidised = ng.exp(task.ANODIC / task.THERMAL_VOLTAGE * eta)
    slope = -(task.CATHODIC * reduced + task.ANODIC * oxidised) / task.THERMAL_VOLTAGE
    return (exchange * (reduced - oxidised)).Compile(), (exchange * slope).Compile()


if __name__ == "__main__":
    ng.SetNumThreads(int(os.environ.get("PEERS_THREADS", "2")))
    with ng.TaskManager():
        task.main(solved)
