"""The quick start of a coated rig against the whole growth: rank, bias and cost.

Rigs of the three held parts, coated with 30, 300 and 3000 ohm per square: the naive rig's pose,
wires and anodes changed at random within what a search may change. For each start: the time until
99 % of the coat is covered, and what the start costs the job, by the whole growth and by the
solution lumped (field/seed/lumped.py). Then rank correlations (Spearman) and the ratio quick over
whole: its middle, and the range that holds 80 %.

    python benchmarks/starts.py [--rigs 5] [--seed 1] [part ...]
"""

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from benchmarks.contenders import held_rigs
from benchmarks.rigs import Memory
from scipy.stats import spearmanr

from tankside.app.rig_bench import RigBench, rig_bench
from tankside.base.progress import silent
from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import RigCase, RigFigures, Starts
from tankside.plan.rigs.space import Freedoms, design_space

OHMS = (30, 300, 3000)
CHANGED = Freedoms(auxiliary=0, turn=False)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("parts", nargs="*", default=list(held_rigs.names()))
    parser.add_argument("--rigs", type=int, default=5, help="of each part and coat")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    print(
        f"{'part':8}{'ohm':>6}{'wires':>6}  covered: whole, quick [s]   costs: whole, quick [s]"
        "   cpu [s]"
    )
    rows = [
        row
        for name in options.parts
        for ohms in OHMS
        for row in measured(name, ohms, options.rigs, options.seed)
    ]
    told(np.array(rows))


def measured(name: str, ohms: float, count: int, seed: int) -> list[tuple[float, ...]]:
    """(ohms, whole covered, quick covered, whole delay, quick delay), failed starts left out."""
    text = held_rigs.coated_job(name, 2000, ohms)
    bench = rig_bench(text, f"{name}.toml", Memory(held_rigs.stl(name)), silent)
    space = design_space(bench.coarse_own, CHANGED, 2.0)
    random = np.random.default_rng(seed)
    designs = [space.own]
    rows: list[tuple[float, ...]] = []
    while len(rows) < count and len(designs) < 20 * count:
        rig = space.rig(designs[-1], bench.coarse_own)
        designs.append(random.random(len(space.own)))
        (quick, cheap), wires = timed(bench, rig, Starts.QUICK), len(rig.description.contacts)
        if quick is None:
            continue
        whole, dear = timed(bench, rig, Starts.WHOLE)
        if whole is None:
            print(f"{name:8}{ohms:6.0f}{wires:6d}  the whole growth does not settle")
            continue
        print(
            f"{name:8}{ohms:6.0f}{wires:6d}  {whole.start.covered_after or np.inf:12.0f}"
            f"{quick.start.covered_after or np.inf:8.0f}{whole.start.delay or np.inf:18.1f}"
            f"{quick.start.delay or np.inf:8.1f}{dear:14.2f}{cheap:7.2f}",
            flush=True,
        )
        starts = (whole.start, quick.start)
        rows.append(
            (
                ohms,
                *(one.covered_after or np.inf for one in starts),
                *(np.inf if one.delay is None else one.delay for one in starts),
            )
        )
    return rows


def timed(bench: RigBench, rig: object, starts: Starts) -> tuple[RigFigures | None, float]:
    """Figures with the start worked out this way, or None; and seconds of the processor."""
    began = time.process_time()
    judged = replace(bench.coarse_bench, starts=starts, start_within=4 * 3600.0)
    result = evaluated(RigCase(rig=rig, bench=judged))  # type: ignore[arg-type]
    return result.figures, time.process_time() - began


def told(rows: np.ndarray) -> None:
    both = np.isfinite(rows).all(axis=1)
    print(f"{len(rows)} rigs; {int((~both).sum())} did not start by one way or the other")
    print(
        "covers or not by both alike:",
        int((np.isfinite(rows[:, 1]) == np.isfinite(rows[:, 2])).sum()),
    )
    for word, whole, quick in (("covered", 1, 2), ("costs", 3, 4)):
        kept = rows[both]
        print(f"{word:8} all    {_said(kept[:, whole], kept[:, quick])}")
        for ohms in OHMS:
            here = kept[kept[:, 0] == ohms]
            print(f"{word:8} {ohms:6.0f} {_said(here[:, whole], here[:, quick])}")


def _said(whole: np.ndarray, quick: np.ndarray) -> str:
    ratio = quick / np.maximum(whole, 1e-9)
    low, middle, high = np.percentile(ratio, [10, 50, 90])
    rank = spearmanr(whole, quick).statistic
    return (
        f"n {len(whole):3d}  rank {rank:.3f}  quick / whole {middle:.2f} ({low:.2f} to {high:.2f})"
    )


if __name__ == "__main__":
    main()
