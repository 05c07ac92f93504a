"""What the actions of `tankside bath` read: files, ledgers, the clock."""

import argparse
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.bath.estimate_form import LedgerAsked
    from tankside.app.ledger_port import BathLedger
    from tankside.app.ports import Tools


def content(path: Path | None, tools: "Tools", where: str) -> tuple[bytes, str]:
    """A file's content and name; nothing where none is named."""
    if path is None:
        return b"", ""
    return tools.files(path.parent).read(path.name, where=where), path.name


def asked(options: argparse.Namespace, tools: "Tools", path: Path) -> "LedgerAsked":
    """A ledger with the windows that the options name."""
    from tankside.app.bath.estimate_form import LedgerAsked

    text, name = content(getattr(options, "target", None), tools, "--target")
    return LedgerAsked(
        ledger=tools.ledger(path),
        family=getattr(options, "family", ""),
        bath_text=text,
        bath_name=name,
        temperature=getattr(options, "temperature", "25 degC"),
    )


def noted_at(options: argparse.Namespace) -> float:
    """The time that --at names, or now [s since 1970-01-01 UTC]."""
    from tankside.app.bath.moments import moment

    now = time.time()
    return moment(options.at, now=now, where="--at") if options.at else now


def into(options: argparse.Namespace, tools: "Tools") -> "BathLedger | None":
    """The ledger that --note names."""
    return None if options.note is None else tools.ledger(options.note)
