"""The codes with which a phone on the same network comes in."""

from dataclasses import dataclass

from tankside.web.access import LOOPBACK_NAMES, Access, Role
from tankside.web.words import N_

_WORDS = {
    Role.LOOK: N_("Look: sees everything, changes nothing"),
    Role.OPERATE: N_("Operate: may also plan and run"),
}


@dataclass(frozen=True, slots=True)
class Code:
    """An address with a key in it, and its picture as SVG."""

    words: str
    address: str
    picture: str


def codes(access: Access, port: int) -> list[Code]:
    """A code for each role and address; none where nothing is shared."""
    import segno

    found = []
    for host in sorted(access.names.difference(LOOPBACK_NAMES)):
        for role, key in access.keys.items():
            address = f"http://{host}:{port}/?key={key}"
            picture = segno.make(address, error="m").svg_data_uri(scale=4, border=3)
            found.append(Code(_WORDS[role], address, picture))
    return found
