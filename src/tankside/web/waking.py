"""An application that sleeps until it is asked, or until the server has nothing else to do.

Loading every page and the API takes most of a server's start, and the first page needs none of it.
"""

import asyncio
import threading
import time
from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Receive, Scope, Send

CALM_S = 0.2
"""Without a request for so long [s], a person reads; a page's files follow it more closely."""


class Sleeping:
    """What `make` makes, made once: when it is first asked, or woken before."""

    def __init__(self, make: Callable[[], ASGIApp]) -> None:
        self._make = make
        self._lock = threading.Lock()
        self._awake: ASGIApp | None = None

    def woken(self) -> ASGIApp:
        """The application itself. From any thread; the others wait for the first."""
        with self._lock:
            if self._awake is None:
                self._awake = self._make()
            return self._awake

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        inner = self._awake
        if inner is None:
            inner = await run_in_threadpool(self.woken)
        await inner(scope, receive, send)


class Listened:
    """An application that knows for how long it has been asked nothing."""

    def __init__(self, inner: ASGIApp) -> None:
        self._inner = inner
        self._asked = 0
        self._heard = time.monotonic()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._inner(scope, receive, send)
            return
        self._asked += 1
        try:
            await self._inner(scope, receive, send)
        finally:
            self._asked -= 1
            self._heard = time.monotonic()

    async def calm(self, seconds: float = CALM_S) -> None:
        """Returns once nothing has been asked for so long."""
        while (left := self._heard + seconds - time.monotonic()) > 0 or self._asked:
            await asyncio.sleep(max(left, seconds / 4))
