"""Listens for browsers: on this machine, or on the local network too where it is shared."""

import asyncio
import contextlib
import os
import socket
import sys
import webbrowser
from collections.abc import Callable
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from tankside.app.serving import ServeOptions
from tankside.base.errors import BadInput
from tankside.web.access import Access, local_address
from tankside.web.codes import codes

MakeApplication = Callable[[Access, int], ASGIApp]
PATIENCE_S = 3.0
"""How long a stopping server lets browsers send and fetch what they began [s]."""
LONGEST_S = 20
"""After which it ends whatever an answer is still at [s]."""


def served(options: ServeOptions, make: MakeApplication) -> None:
    """Serves what `make` makes for the access and the port, until it is stopped with ctrl-C."""
    access = _access(options)
    listener = _listener("0.0.0.0" if options.share else "127.0.0.1", options.port)
    port = int(listener.getsockname()[1])
    address = f"http://127.0.0.1:{port}/"
    _tell(f"Tankside is at {address}  (ctrl-C stops it)")
    for code in codes(access, port):
        _tell(f"{code.words}: {code.address}")
    if options.share:
        _tell(f"The codes for a phone's camera are at {address}share")
    config = uvicorn.Config(
        make(access, port),
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=LONGEST_S,
    )
    if options.browse:
        webbrowser.open(address)
    with contextlib.suppress(KeyboardInterrupt):  # it stopped in order; that is not an error
        _Server(config).run(sockets=[listener])


class _Server(uvicorn.Server):
    """Stops in order: no new requests, an answer that is being made is finished, and a browser that
    does not send or fetch the rest is hung up on. Another ctrl-C hangs up at once, and no sooner
    ends the application: a run's output is switched off first."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Ends what is open, then the application."""
        patience = asyncio.get_running_loop().call_later(PATIENCE_S, self._hang_up)
        await super().shutdown(sockets)
        patience.cancel()

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """A signal to stop."""
        if self.should_exit:
            asyncio.get_running_loop().call_soon_threadsafe(self._hang_up)
        else:
            super().handle_exit(sig, frame)

    def _hang_up(self) -> None:
        for connection in list(self.server_state.connections):
            connection.transport.abort()


def _access(options: ServeOptions) -> Access:
    if not options.share:
        return Access.here()
    found = local_address()
    if found is None:
        raise BadInput("this machine is on no network; connect it first, or leave out --share")
    return Access.shared([found])


def _listener(host: str, port: int) -> socket.socket:
    """The socket, bound before anything is started; BadInput where the port is taken."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":  # there it would let two servers share the port
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except (OSError, OverflowError) as error:
        listener.close()
        raise BadInput(
            "port {port} cannot be used, perhaps another program has it; try --port {next}",
            port=port,
            next=port % 65000 + 1,
        ) from error
    listener.listen(128)
    return listener


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
