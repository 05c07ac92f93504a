"""Time of estimating a bath from a year's ledger of 5,000 events.

A busy shop: four runs a day with drag-out, idle hours and evaporation, a top-up a day, copper,
acid and density measured every other day, now and then an addition. Wall time is what a person
waits; processor time tells what it would be on a quiet machine.

    python benchmarks/ledger.py [events ...]     1000 2000 5000 10000 by default
"""

import os
import platform
import sys
import time

import numpy as np

from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    Bottle,
    DragOut,
    Evaporation,
    Event,
    Idle,
    MakeUp,
    Portion,
    TopUp,
    estimated,
)
from tankside.bath.inventory.text import decoded, encoded
from tankside.substances.products import Content, Form, Product

DAY = 86400.0
REPEATS = 3


def main() -> None:
    counts = [int(word) for word in sys.argv[1:]] or [1000, 2000, 5000, 10000]
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}, "
        f"numpy {np.__version__}, load at the start {os.getloadavg()[0]:.1f}"
    )
    print("events  readings  rounds  wall s  processor s  read s  write s")
    for count in counts:
        print(measured(count))


def measured(count: int) -> str:
    """One row: the best of some repeats."""
    ledger = year(count)
    best, found = (float("inf"), float("inf")), estimated(ledger)
    for _ in range(REPEATS):
        wall, processor = time.perf_counter(), time.process_time()
        found = estimated(ledger)
        spent = (time.perf_counter() - wall, time.process_time() - processor)
        best = min(best, spent)
    start = time.perf_counter()
    content = encoded(ledger)
    written = time.perf_counter()
    assert decoded(content).ledger == ledger
    read = time.perf_counter()
    return (
        f"{count:6}  {len(found.surprises):8}  {found.rounds:6}  {best[0]:6.2f}  {best[1]:11.2f}  "
        f"{read - written:6.2f}  {written - start:7.2f}"
    )


def year(count: int, seed: int = 1) -> tuple[Event, ...]:
    """A ledger of exactly `count` events, its days as full as 5,000 a year make them."""
    rng = np.random.default_rng(seed)
    events: list[Event] = [*shelf(), make_up()]
    day = 0
    while len(events) < count:
        day += 1
        events.extend(one_day(day, rng))
    return tuple(events[:count])


def shelf() -> list[Event]:
    crystals = product("crystals", "copper sulfate pentahydrate", 0.985, 0.01, Form.SOLID)
    acid = product("battery acid", "sulfuric acid", 0.37, 0.01, Form.LIQUID)
    tap = Product(
        name="tap water",
        form=Form.LIQUID,
        contents=(Content(substance="water", mass_fraction=Interval.exact(1.0)),),
        chloride=Interval(1e-5, 3e-5, 6e-5),
    )
    names = ("crystals", "acid", "tap")
    return [
        Bottle(at=0.0, id=name, product=one)
        for name, one in zip(names, (crystals, acid, tap), strict=True)
    ]


def product(name: str, substance: str, share: float, half: float, form: Form) -> Product:
    stated = Interval(share - half, share, share + half)
    return Product(
        name=name, form=form, contents=(Content(substance=substance, mass_fraction=stated),)
    )


def make_up() -> Event:
    portions = {"crystals": 4.0, "battery acid": 3.0, "tap water": 15.5}
    return MakeUp(
        at=0.0,
        id="make-up",
        portions=tuple(Portion(product=name, mass=mass) for name, mass in portions.items()),
    )


def one_day(day: int, rng: np.random.Generator) -> list[Event]:
    at = day * DAY

    def named(word: str) -> dict[str, float | str]:
        return {"at": at + 60.0 * rng.random(), "id": f"{word}-{day}-{rng.integers(1 << 40)}"}

    events: list[Event] = []
    for _ in range(4):
        events.append(AmpereHours(**named("run"), charge=3600.0 * rng.uniform(2.0, 8.0)))
        events.append(DragOut(**named("out"), area=rng.uniform(0.01, 0.03)))
    events.append(Idle(**named("idle"), duration=0.6 * DAY, anode_area=0.05))
    air = {"temperature": 296.15, "surface_area": 0.08, "relative_humidity": 0.5}
    events.append(Evaporation(**named("air"), duration=DAY, **air))
    litres = rng.normal(0.35, 0.05)
    level = rng.normal(0.0195, 0.0002) if day % 4 == 0 else None
    events.append(
        TopUp(**named("top"), water="tap water", volume=1e-3 * litres, level_volume=level)
    )
    if day % 2 == 0:
        events.append(Analysis(**named("analysis"), findings=findings(rng)))
    if day % 5 == 0:
        events.append(Addition(**named("add"), product="crystals", mass=0.02))
    if day % 3 == 0:
        events.append(Addition(**named("more"), product="battery acid", mass=0.03))
    return events


def findings(rng: np.random.Generator) -> tuple[Finding, ...]:
    typical = {"copper": (51.0, 1.0), "sulfuric_acid": (56.0, 1.5), "density": (1160.0, 3.0)}
    return tuple(
        Finding(
            quantity=name,
            value=Interval.exact(float(rng.normal(value, std))),
            std=std,
            method="drawn",
        )
        for name, (value, std) in typical.items()
    )


if __name__ == "__main__":
    main()
