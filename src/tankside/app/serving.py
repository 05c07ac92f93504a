"""How the workbench page is served: where, to whom, and where its data lies."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeOptions:
    """home      the folder of the person's data; None for the usual one of this machine
    store     the store's file or address; None for the one in the home folder
    port      on which it listens; 0 for any that is free
    share     True to let others on the local network in, with a key
    browse    True to open the person's browser on it"""

    home: Path | None = None
    store: str | None = None
    port: int = 8765
    share: bool = False
    browse: bool = False
