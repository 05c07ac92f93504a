"""The store: what an acknowledged event costs, and 72 h of samples, in time and in size.

A commit is measured against a bare write with fsync into a file beside it, which no store can beat.
"""

import os
import tempfile
import time
from pathlib import Path

import numpy as np

import tankside.app.store_records as r
from tankside.bath.inventory import AmpereHours
from tankside.runs.series import Series
from tankside.storage.store.opening import opened

HOURS, CHUNK_S, EVENTS = 72, 900, 200


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        bare = _bare(Path(folder) / "bare")
        address = os.environ.get("TANKSIDE_TEST_POSTGRES")
        for name, place in (("SQLite", f"{folder}/s.db"), ("PostgreSQL", address)):
            if place:
                _measured(name, place, bare)
        print(f"  file: {(Path(folder) / 's.db').stat().st_size / 1e6:.2f} MB")


def _measured(name: str, place: str, bare: float) -> None:
    began = time.perf_counter()
    store = opened(place)
    print(f"{name}: opened in {time.perf_counter() - began:.2f} s")
    tag = f"{time.time()}"
    bath = store.baths.add(f"Bath {tag}", r.BathRecord(family="acid sulfate"))
    began = time.perf_counter()
    for n in range(EVENTS):
        store.add_to_ledger(bath.id, [AmpereHours(at=float(n), id=f"{n}", charge=1.0)])
    each = (time.perf_counter() - began) / EVENTS
    print(f"  event: {1e3 * each:.1f} ms, {each / bare:.1f} times a bare write with fsync")
    began = time.perf_counter()
    store.add_to_ledger(
        bath.id, [AmpereHours(at=float(n), id=f"b{n}", charge=1.0) for n in range(10_000)]
    )
    print(f"  10,000 events at once: {time.perf_counter() - began:.2f} s")
    began = time.perf_counter()
    store.ledger(bath.id)
    print(f"  reading them: {time.perf_counter() - began:.2f} s")
    _samples(store, tag)
    began = time.perf_counter()
    assert list(store.check()) == []
    print(f"  check of everything: {time.perf_counter() - began:.2f} s")
    store.close()


def _samples(store, tag: str) -> None:  # type: ignore[no-untyped-def]
    run = store.runs.add(f"Run {tag}", r.RunRecord(order=r.Document()))
    series = _series()
    began, longest = time.perf_counter(), 0.0
    for start in range(0, len(series), CHUNK_S):
        one = time.perf_counter()
        store.add_samples(run.id, series.part(slice(start, start + CHUNK_S)))
        longest = max(longest, time.perf_counter() - one)
    took = time.perf_counter() - began
    print(f"  {HOURS} h of samples: {took:.2f} s, the longest part {1e3 * longest:.0f} ms")
    began = time.perf_counter()
    held = store.series(run.id)
    print(f"  reading them: {time.perf_counter() - began:.2f} s for {len(held):,}")


def _series() -> Series:
    """As a supply's meters show them, to a millivolt and a milliampere, with the clock's jitter."""
    rng, count = np.random.default_rng(1), HOURS * 3600
    return Series(
        time=1.7956e9 + np.arange(count) + np.round(rng.uniform(0, 0.02, count), 3),
        voltage=np.round(1.4 + 0.01 * rng.standard_normal(count).cumsum() / 100, 3),
        current=np.round(2.0 + 0.002 * rng.standard_normal(count), 3),
        temperature=np.full(count, np.nan),
    )


def _bare(path: Path) -> float:
    with path.open("wb", buffering=0) as file:
        began = time.perf_counter()
        for _ in range(EVENTS):
            file.write(b"x" * 200)
            os.fsync(file.fileno())
        return (time.perf_counter() - began) / EVENTS


if __name__ == "__main__":
    main()
