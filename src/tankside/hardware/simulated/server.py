"""The simulated supply on a loopback socket, one line a message, for several clients at once.

Time may be hurried: an hour of the cell passes in a few seconds of the wall. As a program,
    python -m tankside.hardware.simulated.server --port 0 --hurry 60
it prints the port it listens on and serves until it is ended.
"""

import argparse
import socketserver
import sys
import threading
import time
from types import TracebackType

from tankside.base.errors import TanksideError, UnknownName
from tankside.hardware.simulated.cell import FAULTS, SimulatedCell
from tankside.hardware.simulated.instrument import Silence, SimulatedSupply


class SimulatedServer:
    """Serves from a thread of its own, as a context manager; port 0 takes a free one."""

    def __init__(
        self, cell: SimulatedCell | None = None, *, port: int = 0, hurry: float = 1.0
    ) -> None:
        begun = time.monotonic()
        self.supply = SimulatedSupply(
            cell=cell or SimulatedCell(), now=lambda: hurry * (time.monotonic() - begun)
        )
        self._hurry, self._timers = hurry, list[threading.Timer]()
        self._server = _Server(self.supply, port)
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,))

    @property
    def port(self) -> int:
        """The port it listens on."""
        return int(self._server.server_address[1])

    @property
    def resource(self) -> str:
        """VISA's name of it."""
        return f"TCPIP::127.0.0.1::{self.port}::SOCKET"

    def __enter__(self) -> "SimulatedServer":
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for timer in self._timers:
            timer.cancel()
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()
        self._server.cut()

    def cut(self) -> None:
        """Drops every link, as when a cable is pulled; new ones may be made."""
        self._server.cut()

    def fault(self, name: str, after: float) -> None:
        """Switches a fault in `after` seconds of the cell's time; UnknownName where there is no
        such fault."""
        cell = self.supply.cell
        if name not in FAULTS:
            raise UnknownName("fault", name, FAULTS)

        def switched() -> None:
            with self._server.lock:
                cell.switch(name, on=True)

        timer = threading.Timer(after / self._hurry, switched)
        timer.daemon = True
        timer.start()
        self._timers.append(timer)


class _Server(socketserver.ThreadingTCPServer):
    allow_reuse_address = True
    daemon_threads = True

    def __init__(self, supply: SimulatedSupply, port: int) -> None:
        self.supply, self.lock = supply, threading.Lock()
        self.open: set[socketserver.BaseRequestHandler] = set()
        super().__init__(("127.0.0.1", port), _Client)

    def cut(self) -> None:
        for client in tuple(self.open):
            try:
                client.request.shutdown(2)
            except OSError:
                continue  # it was gone already


class _Client(socketserver.StreamRequestHandler):
    server: _Server

    def handle(self) -> None:
        self.server.open.add(self)
        try:
            for line in self.rfile:
                self._answer(line.decode("ascii", "replace").strip())
        except OSError:
            return  # the link was cut
        finally:
            self.server.open.discard(self)

    def _answer(self, message: str) -> None:
        with self.server.lock:
            try:
                answer = self.server.supply.answered(message)
            except Silence:
                return
            except TanksideError as error:
                answer = f"TEST: {error}"
        if answer is not None:
            self.wfile.write((answer + "\n").encode("latin-1"))


def main() -> None:
    """Serves until ended."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument("--port", type=int, default=0)
    asked.add_argument("--hurry", type=float, default=1.0)
    chosen = asked.parse_args()
    with SimulatedServer(port=chosen.port, hurry=chosen.hurry) as server:
        sys.stdout.write(f"{server.port}\n")
        sys.stdout.flush()
        threading.Event().wait()


if __name__ == "__main__":
    main()
