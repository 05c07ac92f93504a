"""Sweeps on a Dask cluster by the address of its scheduler, such as tcp://192.0.2.7:8786.

The same call as on this machine. A worker that dies is not waited for: the scheduler gives its
cases to the others. Workers need this version of Tankside; one thread each suits the solver:
`dask worker ADDRESS --nthreads 1 --nworkers auto`.
"""

from collections.abc import Callable, Iterator, Sequence
from importlib.metadata import version
from types import TracebackType
from typing import Any

from tankside.app.ports import Done, SweepResult
from tankside.base.errors import BadInput, Cancelled
from tankside.base.progress import Progress, silent
from tankside.sweeps.attempt import Attempt, attempted
from tankside.sweeps.bookkeeping import Bookkeeping, never

INSTALL = "pip install 'tankside[sweeps]'"
ASKED_EVERY_S = 0.2
"""How often a wish to cancel is looked for [s]."""

_PATIENCE_S = 20.0
"""How long a scheduler may take to answer [s]."""

_AHEAD = 4
"""Cases given out at a time for each worker."""


class DaskCluster:
    """The workers of the scheduler at `address`."""

    def __init__(self, address: str) -> None:
        self._client = _connected(address)
        self.workers = max(1, len(_workers(self._client, address)))

    def run(
        self,
        function: Callable[[Any], Any],
        cases: Sequence[Any],
        *,
        progress: Progress = silent,
        cancel: Callable[[], bool] = never,
        done: Done | None = None,
    ) -> Iterator[SweepResult]:
        """As the port says."""
        books = Bookkeeping(function, cases, progress, done)
        yield from books.known()
        waiting = list(reversed(books.open()))
        futures: dict[Any, int] = {}
        try:
            while waiting or futures:
                while waiting and len(futures) < _AHEAD * self.workers:
                    number = waiting.pop()
                    future = self._client.submit(attempted, function, cases[number], pure=False)
                    futures[future] = number
                for future in self._finished(list(futures)):
                    yield books.closed(futures.pop(future), _attempt(future))
                if cancel():
                    raise Cancelled("the sweep was stopped; what is done is kept")
        finally:
            if futures:
                self._client.cancel(list(futures))

    def _finished(self, futures: Sequence[Any]) -> list[Any]:
        """Those that are done, after waiting a moment for the first, in the order given."""
        from distributed import TimeoutError as LateError
        from distributed import wait

        waited: Any = wait  # the library does not tell its types
        try:
            with self._client.as_current():
                done = waited(futures, timeout=ASKED_EVERY_S, return_when="FIRST_COMPLETED").done
        except LateError:
            return []
        return [future for future in futures if future in done]

    def __enter__(self) -> "DaskCluster":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._client.close()


def _connected(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError as error:
        raise BadInput(
            "a Dask cluster needs one more library; install it with {install}", install=INSTALL
        ) from error
    connect: Any = Client  # the library does not tell its types
    try:
        return connect(address, timeout=_PATIENCE_S, set_as_default=False)
    except (OSError, ValueError) as error:
        raise BadInput(
            "no Dask scheduler answers at {address!r} within {patience_s:g} s; start one with "
            "'dask scheduler' and give the address that it prints",
            address=address,
            patience_s=_PATIENCE_S,
        ) from error


def _workers(client: Any, address: str) -> dict[str, Any]:
    """The workers' versions of Tankside by their addresses; BadInput where one has another."""
    found: dict[str, Any] = client.run(version, "tankside")
    mine = version("tankside")
    others = {worker: theirs for worker, theirs in found.items() if theirs != mine}
    if others:
        client.close()
        raise BadInput(
            "{others} of {found} workers at {address!r} have Tankside {theirs}, not {mine}; "
            "install the same version on all",
            others=len(others),
            found=len(found),
            address=address,
            theirs=sorted(set(others.values())),
            mine=mine,
        )
    return found


def _attempt(future: Any) -> Attempt:
    """What came of a case, waited for again where its worker died with the result; the scheduler's
    own complaint where it gave up on it."""
    problem = future.exception()
    if problem is not None:
        return Attempt(error=f"the cluster gave up on this case: {problem}")
    attempt: Attempt = future.result()
    return attempt
