"""What a person waits for from `tankside serve` to the first page, and at the first click.

Measured is what an installed package gives: bytecode is kept (in a folder of its own, filled by the
first start), and packages that only development installs cannot be imported. The first start, which
finds no bytecode at all, not even of Python's own library, is told beside it: an installer that
compiles what it installs spares it. "A click at once" comes straight after the first page, and
waits for all that the server has not loaded by then; "a click later" comes after a second. Times of
the processor are read at that moment, on Linux.

    python benchmarks/serving.py
"""

import os
import platform
import re
import statistics
import sys
import tempfile
import time
from importlib.metadata import packages_distributions
from pathlib import Path
from urllib.request import urlopen

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.browser.workshop import serving

STARTS = 7
REQUIREMENTS = Path(__file__).parents[1] / "requirements" / "run.txt"

WITHOUT = """
import sys

class Absent:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ABSENT:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)

ABSENT = frozenset({absent!r})
sys.meta_path.insert(0, Absent())
"""


def main() -> None:
    """Prints one line a measure."""
    told_machine()
    with tempfile.TemporaryDirectory() as folder:
        environment = as_installed(Path(folder))
        first = _start(Path(folder) / "first", environment)
        print(f"no bytecode, no store: first page {first[0]:.2f} s, processor {first[1]:.2f} s")
        for what, homes in (
            ("with bytecode, no store", [f"new {number}" for number in range(STARTS)]),
            ("with bytecode, a store", ["first"] * STARTS),
        ):
            starts = [_start(Path(folder) / home, environment) for home in homes]
            walls, used, at_once, later = zip(*starts, strict=True)
            told(f"{what}: first page", walls, "s")
            told(f"{what}: first page, processor", used, "s")
            told(f"{what}: a click at once", at_once, "s")
            told(f"{what}: a click later", later, "s")


def as_installed(folder: Path) -> dict[str, str]:
    """The environment of a server that keeps bytecode and has only what users install."""
    absent = _for_development_only()
    site = folder / "site"
    site.mkdir()
    (site / "sitecustomize.py").write_text(WITHOUT.format(absent=sorted(absent)), "utf-8")
    kept = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    print(f"bytecode is kept; {len(absent)} packages of development are out of reach")
    return {**kept, "PYTHONPYCACHEPREFIX": str(folder / "bytecode"), "PYTHONPATH": str(site)}


def _for_development_only() -> set[str]:
    """Names that are imported from packages which a user's environment has not."""
    pinned = REQUIREMENTS.read_text("utf-8")
    theirs = {_plain(name) for name in re.findall(r"^([\w.-]+)==", pinned, re.MULTILINE)}
    theirs.add("tankside")
    return {
        name
        for name, packages in packages_distributions().items()
        if theirs.isdisjoint(map(_plain, packages))
    }


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _start(home: Path, environment: dict[str, str]) -> tuple[float, float, float, float]:
    """Until the first page on the wall and by the processor, and the two clicks [s]."""
    begun = time.perf_counter()
    with serving(home, environment=environment) as (address, process):
        urlopen(address).read()
        wall, used = time.perf_counter() - begun, _processor(process.pid)
        return wall, used, _click(address + "help"), _click(address + "shelf", after=1.0)


def _click(address: str, after: float = 0.0) -> float:
    time.sleep(after)
    begun = time.perf_counter()
    urlopen(address).read()
    return time.perf_counter() - begun


def _processor(process: int) -> float:
    """Time of the processor that a process has had [s]; not a number where that is not told."""
    path = Path(f"/proc/{process}/stat")
    if not path.is_file():
        return float("nan")
    fields = path.read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def told_machine() -> None:
    """The machine, and what it bears as the measures begin."""
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}, "
        f"load at the start {os.getloadavg()[0]:.1f}"
    )


def told(what: str, values: list[float] | tuple[float, ...], unit: str) -> None:
    """The middle of several, and their ends."""
    middle, ends = statistics.median(values), f"{min(values):.3g} to {max(values):.3g}"
    print(f"{what}: {middle:.3g} {unit} ({ends} of {len(values)})")


if __name__ == "__main__":
    main()
