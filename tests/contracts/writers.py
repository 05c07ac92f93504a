"""A program that writes into a store: `python -m tests.contracts.writers ADDRESS BATH WHO COUNT`
adds so many events in batches of 1 to 60, and with each batch one of a hundred events that all
programs add."""

import random
import sys

from tankside.bath.inventory import AmpereHours
from tankside.storage.store.opening import opened


def charge(id: str) -> AmpereHours:
    return AmpereHours(at=1_795_608_000.0, id=id, charge=3600.0)


def write(address: str, bath: str, who: str, count: int) -> None:
    """Adds `count` events of its own, and the same hundred as everyone else."""
    store, rng, done = opened(address), random.Random(who), 0
    while done < count:
        batch = min(rng.randint(1, 60), count - done)
        events = [charge(f"{who}-{n}") for n in range(done, done + batch)]
        store.add_to_ledger(bath, [*events, charge(f"shared-{rng.randrange(100)}")])
        done += batch
    store.add_to_ledger(bath, [charge(f"shared-{n}") for n in range(100)])
    store.close()


if __name__ == "__main__":
    write(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4]))
