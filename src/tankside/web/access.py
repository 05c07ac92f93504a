"""Who may come in: from this machine always; from the local network only with a key, if shared.

A key is a random word in the address that the QR code holds; the first visit turns it into a cookie
that no script can read and that no other site can send. There is one key for each role: `look` may
read, `operate` may also do things. Who sits at this machine owns it: settings, codes, and what is
forgotten.
"""

import hmac
import secrets
import socket
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import IntEnum
from ipaddress import ip_address

COOKIE = "tankside_key"
LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")


class Role(IntEnum):
    """What a visitor may do; each may also do what those before it may."""

    NOBODY = 0
    LOOK = 1
    OPERATE = 2
    OWN = 3


def _key() -> str:
    return secrets.token_urlsafe(18)


@dataclass(frozen=True, kw_only=True)
class Access:
    """names     host names and addresses, without the port, under which visitors may ask
    keys      the key of each role; none at all where nothing is shared"""

    names: frozenset[str]
    keys: dict[Role, str] = field(default_factory=dict)

    @classmethod
    def here(cls) -> "Access":
        """This machine alone."""
        return cls(names=frozenset(LOOPBACK_NAMES))

    @classmethod
    def shared(cls, addresses: Iterable[str]) -> "Access":
        """This machine, and the local network with a key."""
        return cls(
            names=frozenset((*LOOPBACK_NAMES, *addresses)),
            keys={Role.LOOK: _key(), Role.OPERATE: _key()},
        )

    def role(self, peer: str, key: str) -> Role:
        """The role of a visitor by the address of its machine and the key that it shows."""
        if is_loopback(peer):
            return Role.OWN
        held = [role for role, own in self.keys.items() if hmac.compare_digest(own, key)]
        return max(held, default=Role.NOBODY)

    def knows_host(self, host: str) -> bool:
        """Whether a Host header names this server; anything else is another site's trick."""
        name, colon, port = host.rpartition(":")
        if not colon or not port.isdigit():
            name = host
        return name.lower() in self.names


def is_loopback(peer: str) -> bool:
    """Whether an address is this machine's own."""
    try:
        return ip_address(peer.partition("%")[0]).is_loopback
    except ValueError:
        return False


def local_address() -> str | None:
    """This machine's address on the local network, or None where it has none; sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(
                ("192.0.2.1", 9)
            )  # reserved for documentation; UDP connects without a word
        except OSError:
            return None
        address = str(probe.getsockname()[0])
    return None if is_loopback(address) else address
