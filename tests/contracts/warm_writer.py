"""The writer that is killed, warm from the import: whoever imports this has written once, so that a
fork of it begins to write at once."""

import tempfile
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np

import tankside.app.store_records as r
from tankside.bath.inventory import AmpereHours
from tankside.runs.series import Series
from tankside.storage.store.opening import opened
from tests.contracts.scene import NOON


def prepared(address: str) -> tuple[str, str]:
    """A store with a bath and a run, by their ids."""
    store = opened(address)
    bath = store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate"))
    run = store.runs.add("Run", r.RunRecord(order=r.Document()))
    store.close()
    return bath.id, run.id


def write_until_killed(address: str, round: int, said: Connection, most: int = 100_000) -> None:
    """Events in pairs, samples, files and revisions; tells of each once it is acknowledged."""
    store = opened(address)
    bath, run = store.baths.get("Cellar bath"), store.runs.get("Run")
    for n in range(most):
        store.add_to_ledger(
            bath.id,
            [AmpereHours(at=NOON, id=f"{round}-{n}{half}", charge=1.0) for half in "ab"],
        )
        said.send(("events", f"{round}-{n}"))
        if n % 3 == 0:
            time = NOON + 10_000 * round + 20 * n + np.arange(20.0)
            store.add_samples(run.id, Series.of(time, 0 * time + 1, 0 * time + 2))
            said.send(("samples", float(time[-1])))
        if n % 5 == 0:
            file = store.keep_file(f"{round} {n}".encode() * 500, name="a", mime="text/plain")
            said.send(("file", file.sha256))
            bath = store.baths.revise(store.baths.get("Cellar bath"), bath.value)
            said.send(("revision", bath.version))
    store.close()


class _Nobody:
    def send(self, _: object) -> None:
        """Not heard."""


with tempfile.TemporaryDirectory() as _folder:
    _address = str(Path(_folder) / "s.db")
    prepared(_address)
    write_until_killed(_address, 0, _Nobody(), most=1)  # type: ignore[arg-type]
