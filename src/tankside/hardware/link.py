"""A line of text to an instrument and back, over VISA: USB, serial or network.

VISA's own names are used for what a supply hangs on, such as ASRL/dev/ttyUSB0::INSTR or
TCPIP::192.168.1.20::5025::SOCKET. Whatever fails on the way is a HardwareFault with the name in it.
"""

from typing import Any, Protocol

from tankside.base.errors import HardwareFault

TIMEOUT_S = 1.5
"""An instrument that has not answered by then has lost the link: our judgement."""


class Link(Protocol):
    """Text to and from one instrument."""

    def write(self, text: str) -> None:
        """Sends a command."""
        ...

    def ask(self, text: str) -> str:
        """Sends a question and returns the answer."""
        ...

    def close(self) -> None:
        """Gives the link up."""
        ...


class VisaLink:
    """A link by VISA's name of the instrument."""

    def __init__(self, resource: str, timeout: float = TIMEOUT_S) -> None:
        self.resource = resource
        try:
            self._held = _manager().open_resource(
                resource,
                read_termination="\n",
                write_termination="\n",
                timeout=int(1e3 * timeout),
                open_timeout=int(1e3 * timeout),
            )
        except _faults() as error:
            raise HardwareFault(
                "no supply answers at {resource} ({error})", resource=resource, error=_told(error)
            ) from error

    def write(self, text: str) -> None:
        """Sends a command."""
        try:
            self._held.write(text)
        except _faults() as error:
            raise HardwareFault(
                "the link to {resource} failed at {text!r} ({error})",
                resource=self.resource,
                text=text,
                error=_told(error),
            ) from error

    def ask(self, text: str) -> str:
        """Sends a question and returns the answer."""
        try:
            answer: str = self._held.query(text)
        except _faults() as error:
            raise HardwareFault(
                "the supply at {resource} did not answer {text!r} ({error})",
                resource=self.resource,
                text=text,
                error=_told(error),
            ) from error
        except UnicodeDecodeError as error:
            raise HardwareFault("the supply answered {text!r} with garbage", text=text) from error
        return answer.strip()

    def close(self) -> None:
        """Gives the link up."""
        try:
            self._held.close()
        except _faults() as error:
            raise HardwareFault(
                "the link to {resource} could not be closed", resource=self.resource
            ) from error


def found() -> tuple[str, ...]:
    """VISA's names of what hangs on this machine's USB and serial sockets. The network is not
    asked: that would call out to every machine on it."""
    from pyvisa.constants import InterfaceType
    from pyvisa_py.sessions import Session  # type: ignore[import-untyped]

    _manager()  # makes the kinds of link known
    near = (InterfaceType.usb, InterfaceType.asrl)
    names = [
        name
        for (kind, _), session in Session.iter_valid_session_classes()
        if kind in near
        for name in session.list_resources()
    ]
    return tuple(sorted(set(names)))


def _manager() -> Any:
    import pyvisa

    return pyvisa.ResourceManager("@py")


def _faults() -> tuple[type[Exception], ...]:
    import pyvisa

    return (pyvisa.errors.VisaIOError, pyvisa.errors.InvalidSession, OSError, ValueError)


def _told(error: Exception) -> str:
    return str(error).splitlines()[0] if str(error) else type(error).__name__
