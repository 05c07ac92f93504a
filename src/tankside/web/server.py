"""Listens for browsers: on this machine, or on the local network too where it is shared."""

import os
import socket
import sys
import webbrowser
from collections.abc import Callable

import uvicorn
from starlette.types import ASGIApp

from tankside.app.serving import ServeOptions
from tankside.base.errors import BadInput
from tankside.web.access import Access, local_address
from tankside.web.codes import codes

MakeApplication = Callable[[Access, int], ASGIApp]


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
        timeout_graceful_shutdown=3,
    )
    if options.browse:
        webbrowser.open(address)
    uvicorn.Server(config).run(sockets=[listener])


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
            f"port {port} cannot be used, perhaps another program has it; "
            f"try --port {port % 65000 + 1}"
        ) from error
    listener.listen(128)
    return listener


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
