"""The rig search on three held parts: what it gains over the naive rig, and for how much work.

For each part: the naive rig (in the middle, two equal anodes at equal distance) and the best rig
found, as the thickness of the thinnest 5 % of the area after the same time, each at its own best
current; on the person's mesh and on one twice as fine (half the panel edge: four times the panels)
with everything else refined alike; evaluations, seconds of the wall clock and of all processors.
Half the processor seconds are what two quiet cores take.

    python benchmarks/rigs.py [--evaluations 150] [--panels 2000] [--goal thinnest] [--ohms 100]
                              [part ...]
"""

import argparse
import os
import resource
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.contenders import held_rigs

from tankside.app.improve_a_rig import improve_a_rig
from tankside.app.rig_bench import fine_description, rig_bench
from tankside.app.rig_values import RigRequest
from tankside.base.progress import silent
from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import RigCase, RigFigures
from tankside.plan.rigs.goals import RigGoal
from tankside.plan.rigs.rig import Rig
from tankside.plan.rigs.trials import Effort
from tankside.sweeps.local_pool import LocalPool


@dataclass(frozen=True)
class Memory:
    """Files of one part."""

    content: bytes

    def read(self, name: str, *, where: str) -> bytes:
        """The part's mesh."""
        return self.content


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("parts", nargs="*", default=list(held_rigs.names()))
    parser.add_argument("--evaluations", type=int, default=150)
    parser.add_argument("--panels", type=int, default=2000, help="of the part, as a person has it")
    parser.add_argument("--goal", default="thinnest")
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--ohms", type=float, help="of a coat, by square; without it: metal")
    options = parser.parse_args()
    print(f"{os.cpu_count()} processors, load at the start {os.getloadavg()[0]:.1f}, two workers")
    print(
        f"{'part':8} {'rigs':>5} {'wall s':>7} {'cpu s':>6} {'cpu/2':>6}  gain of each rig on the "
        "person's mesh; of the best on a mesh twice as fine"
    )
    for name in options.parts:
        measure(name, options)


def measure(name: str, options: argparse.Namespace) -> None:
    request = RigRequest(
        job_text=job_of(name, options.panels, options.ohms),
        job_name=f"{name}.toml",
        files=Memory(held_rigs.stl(name)),
        goal=RigGoal(options.goal),
        effort=Effort(evaluations=options.evaluations, seed=options.seed),
        minutes=options.minutes,
    )
    wall, cpu = time.perf_counter(), processor_seconds()
    with LocalPool(2) as pool:
        reply = improve_a_rig(request, pool)
    wall, cpu = time.perf_counter() - wall, processor_seconds() - cpu
    gains = [proposal.numbers.thinnest_um / reply.own.thinnest_um for proposal in reply.proposals]
    print(
        f"{name:8} {reply.evaluations:5d} {wall:7.0f} {cpu:6.0f} {cpu / 2:6.0f}  "
        + " ".join(f"{gain:.2f}" for gain in gains)
        + f"; least difference {reply.least_difference:.2f}",
        flush=True,
    )
    for numbers in (reply.own, *(proposal.numbers for proposal in reply.proposals)):
        print(
            f"{'':8} {numbers.hours:.2f} h, {numbers.copper_g:.1f} g, spread {numbers.spread:.2f}, "
            f"{numbers.wires} wires, covered after {numbers.cover_minutes or 0:.1f} min, "
            f"start costs {numbers.start_minutes or 0:.2f} min"
        )
    finer = twice_as_fine(name, options, reply.proposals[0].rig)
    print(f"{'':8} twice as fine: {finer:.2f}; what changed:", flush=True)
    for sentence in reply.proposals[0].changes:
        print(f"{'':10}{sentence}", flush=True)


def job_of(name: str, panels: int, ohms: float | None) -> str:
    """The naive rig's job, in metal or with a coat."""
    if ohms is None:
        return held_rigs.job(name, panels)
    return held_rigs.coated_job(name, panels, ohms)


def twice_as_fine(name: str, options: argparse.Namespace, best: Rig) -> float:
    """Gain of the best rig with half the panel edge on every body."""
    text = job_of(name, 4 * options.panels, options.ohms)
    bench = rig_bench(text, f"{name}.toml", Memory(held_rigs.stl(name)), silent)
    fine = replace(bench.bench, panels=bench.bench.panels.scaled(4.0))
    rigs = (bench.own, replace(best, description=fine_description(best, bench.own)))
    own, found = (figures(RigCase(rig=rig, bench=fine)) for rig in rigs)
    return found.thinnest_rate / own.thinnest_rate


def figures(case: RigCase) -> RigFigures:
    """Of a rig that can be."""
    result = evaluated(case)
    assert result.figures is not None, result.refusal
    return result.figures


def processor_seconds() -> float:
    """Of this process and of all that it waited for [s]."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


if __name__ == "__main__":
    main()
