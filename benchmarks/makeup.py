"""A make-up's time after import, against Python's own cost of starting the libraries that it needs.

For each request: the first call in a fresh process (tables are read), by the wall clock and by the
processor; the median of warm calls by the processor; and the same as a ratio to one bare linear
programme of the same size by scipy, which no make-up can be quicker than. Meant: 200 ms after
import. The wall clock counts what else the machine does.

    python benchmarks/makeup.py [--rounds 20]
"""

import argparse
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.optimize import milp

sys.path.insert(0, str(Path(__file__).parents[1]))  # the tests' shelf of bottles

from tankside.bath.composition import Composition
from tankside.bath.makeup import Preference, Stocked, acid_sulfate_target
from tankside.bath.makeup.balance import balanced
from tankside.bath.makeup.make_up import adjusted, made_up
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    BUCKET,
    CARBONATE,
    HIGH_THROW,
    KITCHEN,
    MURIATIC,
    OXIDE,
    PLAIN_SALT,
    SALT,
    SHELF,
    STRONG_ACID,
    TAP,
    TOOLS,
    WATER,
    old_bath,
    request,
)

EVERYTHING = (SALT, OXIDE, CARBONATE, BATTERY_ACID, STRONG_ACID, MURIATIC, PLAIN_SALT, TAP, WATER)
AIM = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.06)


def requests() -> dict[str, Callable[[], object]]:
    """What is timed."""
    plain = request()
    throw = request(SALT, STRONG_ACID, MURIATIC, WATER, target=acid_sulfate_target(HIGH_THROW))
    full = request(*EVERYTHING)
    fewest = request(*EVERYTHING, preference=Preference.FEWEST)
    kitchen = request(SALT, BATTERY_ACID, PLAIN_SALT, WATER, tools=KITCHEN)
    shelf = tuple(Stocked(product=one) for one in SHELF)
    return {
        "four bottles": lambda: made_up(plain),
        "high-throw, five portions": lambda: made_up(throw),
        "nine bottles, cheapest": lambda: made_up(full),
        "nine bottles, fewest": lambda: made_up(fewest),
        "a stock solution": lambda: made_up(kitchen),
        "a bath adjusted": lambda: adjusted(
            old_bath(190.0, 50.0, 0.04),
            acid_sulfate_target(AIM),
            shelf=shelf,
            tools=TOOLS,
            vessel=BUCKET,
        ),
        "the balance alone": lambda: balanced(plain),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--first", help="time one request's first call in this process")
    arguments = parser.parse_args()
    if arguments.first:
        made = requests()[arguments.first]
        begin, busy = time.perf_counter(), time.process_time()
        made()
        print(time.perf_counter() - begin, time.process_time() - busy)
        return
    bare = median(bare_programme, arguments.rounds)
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; {arguments.rounds} rounds")
    print(f"{'request':28s} {'first ms':>9s} {'by cpu':>7s} {'warm ms':>8s} {'bare LPs':>9s}")
    for name, made in requests().items():
        warm = median(made, arguments.rounds)
        wall, busy = first(name)
        print(
            f"{name:28s} {1e3 * wall:9.0f} {1e3 * busy:7.0f} {1e3 * warm:8.1f} {warm / bare:9.1f}"
        )


def first(name: str) -> tuple[float, float]:
    """Seconds of the first call in a process that has only imported: wall clock, processor."""
    run = subprocess.run(
        [sys.executable, __file__, "--first", name],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": os.getcwd()},
    )
    wall, busy = run.stdout.split()
    return float(wall), float(busy)


def median(work: Callable[[], object], rounds: int) -> float:
    """Median processor seconds of a warm call."""
    work()
    times = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return statistics.median(times)


def bare_programme() -> object:
    """One linear programme of the size of a make-up's."""
    random = np.random.default_rng(1)
    return milp(
        random.random(11),
        constraints=(random.random((6, 11)), -np.inf, 10.0),
        bounds=(0.0, 1.0),
    )


if __name__ == "__main__":
    main()
