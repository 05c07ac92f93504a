"""A coated part from switch-on to 100 µm: seconds, memory, steps, and the same in matrix products.

The demonstration finial with a coat and its two contacts, cut into about 12 000 and 30 000 panels,
grown at 1 A by the ramp that keeps below half of copper's limit. Processor seconds are told beside
the wall's, as the machine may be busy; so are the seconds of one product with the boundary
operators, measured before and after, to compare machines and loads by.

    python benchmarks/seed.py [--panels 12000 30000] [--ohms 100]
"""

import argparse
import os
import resource
import time
from dataclasses import replace

import numpy as np

from tankside.app.job.baths import electrolyte_of
from tankside.app.job.building import description_of, parts_of, tallest
from tankside.app.job.reading import read_job
from tankside.base.progress import silent
from tankside.cell.assembling import assembled
from tankside.examples import finial_job, finial_stl
from tankside.field.deposit import Moment, Segment, StepControl
from tankside.field.growth import grow
from tankside.field.hierarchical import build_operators
from tankside.field.kernels import prepared
from tankside.field.newton import PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.seed.front import FrontWatch
from tankside.field.seed.ramp import GROWTH_ACCURACY, ceilings, full_field
from tankside.field.seed.shell import SeedShell
from tankside.plan.laws import best_numbers, panels_of, problem_of
from tankside.plan.seeded import coated_problem

CURRENT = 1.0
"""[A], on 73 cm²."""
GOAL = 100e-6
"""Mean thickness [m]."""


class _Mesh:
    """The finial's file."""

    def read(self, name: str, where: str = "") -> bytes:
        return finial_stl()


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--panels", nargs="+", type=int, default=[12_000, 30_000])
    parser.add_argument("--ohms", nargs="+", type=float, default=[100.0])
    arguments = parser.parse_args()
    prepared(silent)
    print(f"{os.cpu_count()} processors, load at the start {os.getloadavg()[0]:.1f}")
    for panels in arguments.panels:
        for ohms in arguments.ohms:
            measure(panels, ohms)


def measure(part_panels: int, ohms: float) -> None:
    text = finial_job().replace(
        'surface = "metal"', f'seed = {{ sheet_resistance = "{ohms} ohm" }}'
    )
    job = read_job(text + f"\n[detail]\npart_panels = {part_panels}\n", name="finial")
    parts = parts_of(job, _Mesh(), silent)
    bath = electrolyte_of(job.bath, height=min(tallest(parts), job.tank.liquid_depth))
    cell = assembled(
        description_of(job, tuple(one.placed for one in parts), _Mesh(), bath.density.best)
    )
    panels = panels_of(cell)
    wall, cpu = time.perf_counter(), time.process_time()
    operators = build_operators(panels)
    built = time.process_time() - cpu
    product = _product(operators)
    memory = PreconditionerMemory(operators)
    numbers = best_numbers(bath)
    metal = problem_of(cell, panels, numbers, CURRENT)
    full = full_field(metal, operators, memory)
    problem = coated_problem(cell, metal, bath)
    shell = problem.metal
    if not isinstance(shell, SeedShell):
        raise TypeError("the finial has no coat")
    part = shell.coat.coated
    limit = numbers.limiting_current_density
    problem = replace(problem, local_ceiling=ceilings(full, part, limit, 0.5))
    watch = FrontWatch(shell)
    newton = {"newton": 0, "linear": 0}

    def watched(moment: Moment) -> None:
        watch(moment)
        newton["newton"] += moment.after.newton_iterations
        newton["linear"] += moment.after.linear_iterations

    areas = panels.areas[part]
    begun, begun_wall = time.process_time(), time.perf_counter()
    growth = grow(
        problem,
        [Segment(duration=1e6, current=CURRENT)],
        operators,
        control=StepControl(first_step=0.1),
        accuracy=GROWTH_ACCURACY,
        memory=memory,
        watch=watched,
        reached=lambda thickness: float(np.average(thickness[part], weights=areas)) / GOAL,
    )
    grown, grown_wall = time.process_time() - begun, time.perf_counter() - begun_wall
    again = _product(operators)
    covering = watch.covering()
    times = ", ".join(f"{covering.time_of(share):.0f}" for share in (0.5, 0.9, 0.99))
    rss = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    print(
        f"{len(panels)} panels ({int(part.sum())} coated), {ohms:g} ohm per square\n"
        f"  operators {built:.1f} s cpu; one product {product:.3f} and {again:.3f} s cpu\n"
        f"  growth {grown:.1f} s cpu, {grown_wall:.1f} s wall; all {time.process_time() - cpu:.1f} "
        f"s cpu, {time.perf_counter() - wall:.1f} s wall; {rss:.2f} GiB\n"
        f"  {len(growth.steps)} steps, {growth.solves} fields, {newton['newton']} Newton and "
        f"{newton['linear']} linear iterations; that is {grown / ((product + again) / 2):.0f} "
        "products\n"
        f"  {growth.duration / 3600:.2f} h; covered 50, 90, 99 % at {times} s; "
        f"charge balance {growth.charge_balance:.0e}",
        flush=True,
    )


def _product(operators: Operators) -> float:
    """Seconds of the processor for one product with both layers."""
    one = np.random.default_rng(0).standard_normal(len(operators.panels))
    operators.applied(one, one)
    start = time.process_time()
    for _ in range(10):
        operators.applied(one, one)
    return (time.process_time() - start) / 10


if __name__ == "__main__":
    main()
