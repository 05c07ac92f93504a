"""How answers of the bath are laid out for a terminal: heads, sentences, tables, 88 columns."""

import json
import re
import sys
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind, UnitSystem, in_unit, rounded, shown, told

WIDTH = 88

_GLUED = re.compile(
    r"(?<=\d) (?=(?:%|°C|°F|K|g|kg|mg|mL|L|g/L|mg/L|g/mL|mol/L|h|min|s|V|mV|A|Ah|S/m|mS/cm|cm|mm|"
    r"µm|dm²|cm²|A/dm²|EUR|weeks|months)(?:\W|$))"
)
"""Between a number and its unit no line is broken."""

_HARD = "\u00a0"


class Page:
    """Lines of an answer, put together part by part and printed at the end."""

    def __init__(self, title: str) -> None:
        self._lines = wrapped(title)

    def head(self, words: str) -> None:
        """A part's head, after an empty line."""
        self._lines += ["", words]

    def say(self, sentence: str, *, indent: int = 2) -> None:
        """One sentence or more, wrapped."""
        self._lines += wrapped(sentence, " " * indent)

    def gap(self) -> None:
        """An empty line."""
        self._lines.append("")

    def point(self, sentence: str, *, mark: str = "-", indent: int = 2) -> None:
        """A sentence behind a mark."""
        pad = " " * indent
        self._lines += wrapped(sentence, f"{pad}{mark} ", pad + " " * (len(mark) + 1))

    def points(self, head: str, sentences: Iterable[str], *, mark: str = "-") -> None:
        """A part of such sentences; nothing where there are none."""
        held = list(sentences)
        if held:
            self.head(head)
            for sentence in held:
                self.point(sentence, mark=mark)

    def table(self, rows: Sequence[Sequence[str]], *, right: Sequence[int] = ()) -> None:
        """Rows in columns, the first row the heads; columns in `right` end flush. The last column
        is wrapped where the line would be too long."""
        shown_rows = [row for row in rows if any(row)]
        widths = [max(len(row[place]) for row in shown_rows) for place in range(len(rows[0]))]
        for row in shown_rows:
            cells = [
                one.rjust(width) if place in right else one.ljust(width)
                for place, (one, width) in enumerate(zip(row, widths, strict=True))
            ]
            line = "  " + "  ".join(cells[:-1])
            left = max(WIDTH - len(line) - 2, 16)
            last = textwrap.wrap(row[-1], left, break_on_hyphens=False) or [""]
            if len(row) - 1 in right:
                last = [cells[-1]]
            self._lines.append(f"{line}  {last[0]}".rstrip())
            self._lines += [" " * (len(line) + 2) + more for more in last[1:]]

    def printed(self) -> None:
        """To standard output."""
        sys.stdout.write("\n".join(self._lines) + "\n")


def wrapped(sentence: str, first: str = "", rest: str | None = None) -> list[str]:
    """A sentence as lines, numbers kept with their units; `first` before the first line, `rest`
    (or the same) before the others."""
    lines = textwrap.wrap(
        _GLUED.sub(_HARD, sentence),
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
    )
    return [line.replace(_HARD, " ") for line in lines]


def works(keys: Iterable[str]) -> str:
    """Works in brief, by their keys: "Laliberté (2004); Ball and Nordstrom (1991)"."""
    held = [source(key) for key in keys]
    return "; ".join(dict.fromkeys(f"{one.authors} ({one.year})" for one in held)) + "."


def print_json(reply: Mapping[str, Any]) -> None:
    """One JSON object."""
    json.dump(reply, sys.stdout, indent=1, allow_nan=False, ensure_ascii=False)
    sys.stdout.write("\n")


def system_of(words: str) -> UnitSystem:
    """The person's units by their name on the command line."""
    return UnitSystem.US if words == "us" else UnitSystem.METRIC


def span(value: Interval, unit: str, digits: int = 3) -> str:
    """An interval in a unit: "58 to 62 g/L", or one number where its ends are told alike."""
    low, high = (rounded(in_unit(end, unit), digits) for end in (value.low, value.high))
    if low == high:
        return shown(value.best, unit, digits)
    return f"{low} to {shown(value.high, unit, digits)}"


def spread(value: Interval, unit: str, digits: int = 3, *, with_unit: bool = True) -> str:
    """Best value and ends: "60 g/L (58 to 62)", or shorter without its unit: "60 (58-62)"."""
    low, best, high = (
        rounded(in_unit(end, unit), digits) for end in (value.low, value.best, value.high)
    )
    if not with_unit:
        return best if low == high else f"{best} ({low}-{high})"
    told = shown(value.best, unit, digits)
    return told if low == high else f"{told} ({low} to {high})"


def duration(value: Interval) -> str:
    """A time in words: "5 min", "1 to 3 h"."""
    low, best, high = value.low, value.best, value.high
    unit = "h" if best >= 5400.0 else "min" if best >= 90.0 else "s"
    ends = [rounded(in_unit(end, unit), 2) for end in (low, high)]
    return f"{ends[0]} {unit}" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} {unit}"


def percent(share: float) -> str:
    """A probability in whole percent, never as a certainty that it is not."""
    if 0.995 <= share < 1.0:
        return "over 99 %"
    if 0.0 < share < 0.005:
        return "under 1 %"
    return f"{100.0 * share:.0f} %"


def concentration_unit(quantity: str) -> str:
    """The unit that benches tell a quantity in."""
    return {"chloride": "mg/L", "volume": "L"}.get(quantity.replace("_", " "), "g/L")


def plain(name: str) -> str:
    """A quantity's name in words."""
    return name.replace("_", " ")


def mass(value: float, system: UnitSystem) -> str:
    """A mass in the person's units, four digits."""
    return told(value, Kind.MASS, system, 4)


def volume(value: float, system: UnitSystem) -> str:
    """A volume likewise."""
    return told(value, Kind.VOLUME, system, 4)


def first_up(words: str) -> str:
    """The words with a capital at the beginning."""
    return words if words.startswith("pH") else words[:1].upper() + words[1:]
