"""A program that adds to a ledger is killed again and again: what it was told is done, is there."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tankside.storage.ledger_file import LedgerFile

KILLS = 8

WRITER = """
import sys
from pathlib import Path
from tankside.bath.inventory import AmpereHours
from tankside.storage.ledger_file import LedgerFile

book = LedgerFile(Path(sys.argv[1]))
first = int(sys.argv[2])
print("ready", flush=True)
for number in range(first, first + 100000):
    book.append([AmpereHours(at=float(number), id=str(number), charge=3600.0)])
    print(number, flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no SIGKILL")
def test_no_acknowledged_event_is_lost_by_a_kill(tmp_path: Path) -> None:
    path = tmp_path / "bath.jsonl"
    chance = random.Random(8)
    acknowledged: set[str] = set()
    asides = []
    for turn in range(KILLS):
        acknowledged |= written_until_killed(path, 100000 * turn, chance.uniform(0.01, 0.4))
        book = LedgerFile(path)
        held = book.read()
        assert acknowledged <= {event.id for event in held.ledger}
        aside = book.set_aside()
        assert (aside is not None) == (held.torn is not None)
        asides.append(aside)
        assert book.read().ledger == held.ledger
    assert len(acknowledged) > KILLS
    # an event more than was acknowledged may be there at each kill, never two
    assert len(LedgerFile(path).read().ledger) <= len(acknowledged) + KILLS


def written_until_killed(path: Path, first: int, seconds: float) -> set[str]:
    """Ids that the writer said were written, before SIGKILL after so many seconds of writing."""
    command = [sys.executable, "-c", WRITER, str(path), str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
        time.sleep(seconds)
        writer.send_signal(signal.SIGKILL)
        said = writer.stdout.read()
    whole = said[: said.rfind("\n") + 1]
    return set(whole.split())
