"""Tankside against general field solvers: the same cell and kinetics, meshing included.

    python3 dev.py bench peers                small: two sizes each, one run
    python3 dev.py bench peers --full         all sizes, three interleaved runs, medians
    python3 dev.py bench peers --full --write the same, and docs/benchmarks.md anew
    python3 dev.py bench peers --reference    the bracket's reference anew (minutes)

Laplace's equation with Butler-Volmer electrodes at a given current, and a growth run of twenty
currents on one mesh. The peers live in .venv-peers, made here on the first run. Every contender
gets the same surface triangles; what is compared is time at equal error, interpolated between mesh
sizes on logarithmic scales. Each run is a process of its own, with as many threads as cores, and
has solved a few hundred triangles before the clock starts. With --threads 1, which is for busy
machines, it keeps to one core and processor seconds are compared.
"""

import argparse
import json
import os
import platform
import statistics
import subprocess
import sys
from dataclasses import dataclass
from math import exp, log
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
CONTENDERS = ROOT / "benchmarks" / "contenders"
PEERS_ENVIRONMENT = ROOT / ".venv-peers"
MESHES = ROOT / "out" / "peers"
REFERENCE = CONTENDERS / "bracket_reference.json"
PAGE = ROOT / "docs" / "benchmarks.md"
CORES = os.cpu_count() or 1

Size = tuple[float, float]
"""Triangles' size [m], and what it is multiplied by along sharp edges."""


@dataclass(frozen=True)
class Contender:
    """Who, with which settings, and on which meshes of each cell."""

    name: str
    script: str
    settings: str
    bracket: tuple[Size, ...]
    spheres: tuple[Size, ...]
    ours: bool = False


FIELD = (
    Contender(
        "tankside", "with_tankside.py", "",
        ((0.006, 1), (0.004, 1), (0.003, 1), (0.002, 1), (0.003, 0.33), (0.003, 0.2)),
        ((0.008, 1), (0.004, 1), (0.002, 1), (0.0015, 1)), ours=True,
    ),
    Contender(
        "NGSolve P2 + TetGen", "with_ngsolve.py",
        "order=2 preconditioner=local switches=pq1.4/10YQ",
        ((0.006, 1), (0.004, 1), (0.003, 1), (0.002, 1), (0.003, 0.33)),
        ((0.008, 1), (0.004, 1), (0.002, 1), (0.0018, 1)),
    ),
    Contender(
        "bempp-cl", "with_bempp.py", "precision=single regular=2 singular=3",
        ((0.006, 1), (0.004, 1), (0.003, 1), (0.002, 1)),
        ((0.008, 1), (0.004, 1), (0.0025, 1), (0.002, 1)),
    ),
    Contender(
        "ngsolve.bem", "with_ngsolve_bem.py", "fmm_minorder=8 intorder=1",
        ((0.006, 1),), ((0.008, 1), (0.004, 1), (0.0025, 1), (0.002, 1)),
    ),
)  # fmt: skip
TARGETS = {"bracket": (0.01, 0.004), "spheres": (0.002, 0.001, 0.00025)}
"""Errors at which times are compared: rms of the current density over the cathode's patches (or
triangles), over its mean."""
SMALL: Size = (0.01, 1)
"""Of the spheres that everyone solves before the clock."""
WANTED = {"NGSolve P2 + TetGen": (2.5, 6.0), "bempp-cl": (15.0, None), "ngsolve.bem": (12.0, None)}
"""Times faster that was aimed at: for one solve, for the growth run."""


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--full", action="store_true")
    asked.add_argument("--write", action="store_true")
    asked.add_argument("--reference", action="store_true")
    asked.add_argument("--repeats", type=int)
    asked.add_argument("--cells", nargs="+", default=["bracket", "spheres"])
    asked.add_argument("--threads", type=int, default=CORES, help="of every contender")
    asked.add_argument("--only", nargs="+", help="words in contenders' names")
    chosen = asked.parse_args()
    peers_environment()
    MESHES.mkdir(parents=True, exist_ok=True)
    if chosen.reference:
        new_reference()
        return
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    os.environ["PEERS_THREADS"] = str(chosen.threads)
    field = [one for one in FIELD if not chosen.only or any(w in one.name for w in chosen.only)]
    repeats = chosen.repeats or (3 if chosen.full else 1)
    rows = [row for cell in chosen.cells for row in raced(cell, field, chosen.full, repeats)]
    page = report(rows, load, repeats)
    print(page)
    if chosen.write:
        PAGE.write_text(page, "utf-8")


def raced(cell: str, field: list[Contender], full: bool, repeats: int) -> list[dict[str, Any]]:
    """Every contender, size and task of one cell; runs interleaved, medians of times."""
    entries = []
    for one in field:
        sizes = getattr(one, cell)
        for size in sizes if full else sizes[:2]:
            entries.append((one, size, "one"))
            if cell == "bracket" and one.name in ("tankside", "NGSolve P2 + TetGen"):
                entries.append((one, size, "growth"))
    runs: dict[int, list[dict[str, Any]]] = {k: [] for k in range(len(entries))}
    for _ in range(repeats):
        for k, (one, size, what) in enumerate(entries):
            print(f"{cell} {size} {what}: {one.name} ...", file=sys.stderr, flush=True)
            answered = run(one, mesh(cell, size), what)
            if answered:
                runs[k].append(answered)
    rows = []
    for k, (one, size, what) in enumerate(entries):
        if runs[k]:
            row = runs[k][0] | {
                name: statistics.median(one_run[name] for one_run in runs[k])
                for name in ("seconds", "cpu_seconds", "peak_MB")
            }
            row |= {"cell": cell, "contender": one.name, "settings": one.settings, "task": what}
            row["size"] = size
            row["error"] = error(cell, row) if what == "one" else None
            rows.append(row)
    return rows


def mesh(cell: str, size: Size) -> Path:
    target = MESHES / f"{cell}_{size[0]:g}_{size[1]:g}.npz"
    if not target.exists():
        command = [peers_python(), CONTENDERS / "shapes.py", cell, size[0], size[1], 1, target]
        subprocess.run([str(word) for word in command], check=True)
    return target


def run(one: Contender, surface: Path, what: str) -> dict[str, Any] | None:
    """One process's answer; None, with its last words, where it failed or took ten minutes."""
    python = sys.executable if one.ours else peers_python()
    threads = int(os.environ.get("PEERS_THREADS", CORES))
    settings, small = one.settings.split(), mesh("spheres", SMALL)
    limits = {name: str(threads) for name in ("OMP_NUM_THREADS", "NUMBA_NUM_THREADS")}
    if threads == 1 and hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})  # inherited by the process
    try:
        done = subprocess.run(
            [str(python), str(CONTENDERS / one.script), str(surface), what, str(small), *settings],
            capture_output=True, text=True, timeout=600, env=os.environ | limits, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        print("   stopped after ten minutes", file=sys.stderr)
        return None
    answers = [line for line in done.stdout.splitlines() if line.startswith("{")]
    if done.returncode or not answers:
        print("   failed: " + done.stderr.strip().splitlines()[-1][:200], file=sys.stderr)
        return None
    answered: dict[str, Any] = json.loads(answers[-1])
    return answered


def error(cell: str, row: dict[str, Any]) -> float:
    """Rms over the patches, by area, of the current density's error over its mean [-]."""
    areas, values = row["patch_areas"], row["patches"]
    whole = sum(areas)
    mean = sum(a * v for a, v in zip(areas, values, strict=True)) / whole
    wanted = [1.0] * len(areas)
    if cell == "bracket":
        wanted = json.loads(REFERENCE.read_text("utf-8"))["relative_current"]
    misses = [a * (v / mean - w) ** 2 for a, v, w in zip(areas, values, wanted, strict=True)]
    return float((sum(misses) / whole) ** 0.5)


def at_error(rows: list[dict[str, Any]], target: float, what: str) -> float | None:
    """Time at an error, between the two sizes that bracket it; those of the cheapest size where
    all are better; None where none is as good."""
    ladder = []
    for row in rows:
        if row["task"] == "one":
            timed = [o for o in rows if o["size"] == row["size"] and o["task"] == what]
            ladder += [(row["error"], other[clock()]) for other in timed]
    good = [pair for pair in ladder if pair[0] <= target]
    if not good:
        return None
    best = min(good, key=lambda pair: pair[1])
    worse = [pair for pair in ladder if pair[0] > target and pair[1] < best[1]]
    if not worse:
        return best[1]
    low = min(worse, key=lambda pair: pair[0])
    share = log(low[0] / target) / log(low[0] / best[0])
    return exp(log(low[1]) + share * log(best[1] / low[1]))


def clock() -> str:
    """What times are compared by: with one thread each, waiting for a core does not count."""
    return "cpu_seconds" if os.environ["PEERS_THREADS"] == "1" else "seconds"


def report(rows: list[dict[str, Any]], load: float, repeats: int) -> str:
    quiet = load < 0.5 * CORES
    lines = [
        "# Benchmarks against general solvers",
        "",
        "Written by `python3 dev.py bench peers --full --write`; what is compared, and how, stands"
        " at the head of `benchmarks/peers.py` and of each file in `benchmarks/contenders/`.",
        "",
        f"{CORES} cores ({platform.machine()}), Python {platform.python_version()}, "
        f"{os.environ['PEERS_THREADS']} thread(s) each, load {load:.1f} before the run, "
        f"median of {repeats} run(s). Error: rms over the cathode's patches (bracket) or triangles "
        "(spheres), by area, of the current density over its mean; the bracket's reference is "
        "fourth-order finite elements, `benchmarks/contenders/bracket_reference.json`.",
    ]
    if not quiet and clock() == "seconds":
        lines += ["", "**Taken on a busy machine: the times are not to be quoted.**"]
    elif not quiet:
        lines += ["", "**Taken on a busy machine, so by processor seconds, which others' work still"
                  " raises by a tenth or more: ratios are provisional.**"]  # fmt: skip
    for cell in dict.fromkeys(row["cell"] for row in rows):
        mine = [row for row in rows if row["cell"] == cell]
        lines += ["", f"## The {cell}", "", *table(mine), "", *ratios(cell, mine)]
    lines += ["", "## Settings", ""]
    settings = dict.fromkeys((row["contender"], row["settings"]) for row in rows)
    lines += [f"- {name}: `{words or 'as delivered'}`" for name, words in settings]
    return "\n".join(lines) + "\n"


def table(rows: list[dict[str, Any]]) -> list[str]:
    out = [
        "| contender | task | size, edges | triangles | unknowns | error | seconds | processor s "
        "| MB |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for row in rows:
        missed = "" if row["error"] is None else f"{100 * row['error']:.2f} %"
        size = f"{1e3 * row['size'][0]:g} mm, x{row['size'][1]:g}"
        times = f"{row['seconds']:.2f} | {row['cpu_seconds']:.2f} | {row['peak_MB']:.0f}"
        out.append(
            f"| {row['contender']} | {row['task']} | {size} | {row['panels']} | {row['unknowns']} "
            f"| {missed} | {times} |"
        )
    return out


def ratios(cell: str, rows: list[dict[str, Any]]) -> list[str]:
    """How many times longer each peer takes than Tankside at equal error."""
    by_name: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        by_name.setdefault(row["contender"], []).append(row)
    ours = by_name.pop("tankside", [])
    unit = "s" if clock() == "seconds" else "processor s"
    out = [f"| at error | task | peer | tankside {unit} | peer {unit} | times faster | aimed at |",
           "|---|---|---|---|---|---|---|"]  # fmt: skip
    for target in TARGETS[cell]:
        for name, theirs in by_name.items():
            for k, what in enumerate(("one", "growth")):
                if not any(row["task"] == what for row in theirs):
                    continue
                pair = [at_error(some, target, what) for some in (ours, theirs)]
                shown = ["not reached" if t is None else f"{t:.2f}" for t in pair]
                times = f"{pair[1] / pair[0]:.1f}" if pair[0] and pair[1] else "-"
                aim = WANTED[name][k]
                out.append(
                    f"| {100 * target:g} % | {what} | {name} | {shown[0]} | {shown[1]} | {times} "
                    f"| {aim if aim else '-'} |"
                )
    return out


def peers_python() -> Path:
    return PEERS_ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def peers_environment() -> None:
    """Makes the peers' environment where it is not there."""
    stamp, wanted = (
        PEERS_ENVIRONMENT / "peers-stamp",
        ROOT / "benchmarks" / "peers-requirements.txt",
    )
    if stamp.exists() and stamp.read_text("utf-8") == wanted.read_text("utf-8"):
        return
    print(f"making {PEERS_ENVIRONMENT.name} (once) ...", file=sys.stderr, flush=True)
    subprocess.run([sys.executable, "-m", "venv", str(PEERS_ENVIRONMENT)], check=True)
    (PEERS_ENVIRONMENT / ".gitignore").write_text("*\n", "utf-8")
    pip = [str(peers_python()), "-m", "pip", "install", "--quiet", "-r", str(wanted)]
    subprocess.run(pip, check=True)
    stamp.write_text(wanted.read_text("utf-8"), "utf-8")


def new_reference() -> None:
    """Fourth order on triangles finer at sharp edges; about two minutes of two cores."""
    best = Contender("reference", "with_ngsolve.py", "order=4 preconditioner=local", (), ())
    answered = run(best, mesh("bracket", (0.003, 0.33)), "one")
    if answered is None:
        sys.exit("the reference was not reached")
    areas, values = answered["patch_areas"], answered["patches"]
    mean = sum(a * v for a, v in zip(areas, values, strict=True)) / sum(areas)
    held = {
        "made_by": "NGSolve, fourth order, triangles of 3 mm, a third of that at sharp edges "
        "(peers.py --reference)",
        "relative_current": [round(value / mean, 6) for value in values],
        "patch_areas_m2": [round(area, 12) for area in areas],
        "voltage_V": round(answered["voltage"], 7),
    }
    REFERENCE.write_text(json.dumps(held, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
