"""A sheet made of parts: cautions first, then tables, lists and steps, then lines to write on."""

from collections.abc import Sequence
from typing import Any

from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.base.units import Kind
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import amount, bare, reading, span, spoken, worded

Words = dict[str, Any]


def answer_sheet(words: Words, how: SheetRequest) -> bytes:
    """The sheet as a PDF."""
    return typeset("tankside.sheets.bath", "answer", words, how)


def answer_words(
    heading: str,
    subheading: str,
    *,
    warnings: Sequence[str],
    parts: Sequence[Words],
    warnings_heading: str = "",
    written: Sequence[str] = (),
    sources: Sequence[str] = (),
) -> Words:
    """Every word and number of such a sheet, by its place in the layout; `sources` by their keys,
    and `written` are lines to write on."""
    return {
        "heading": heading,
        "subheading": subheading,
        "warnings": list(warnings),
        "warnings_heading": warnings_heading or worded("Read this first"),
        "parts": [one for one in parts if one["rows"] or one["steps"] or one["lines"]],
        "written": list(written),
        "sources": [source(key).cited() for key in dict.fromkeys(sources)],
    }


def part(
    title: str,
    *,
    head: Sequence[str] = (),
    rows: Sequence[Sequence[str]] = (),
    steps: Sequence[Words] = (),
    lines: Sequence[str] = (),
) -> Words:
    """A part; steps have their `text` and `cautions`."""
    return {
        "title": title,
        "head": list(head),
        "rows": [list(row) for row in rows],
        "steps": list(steps),
        "lines": list(lines),
    }


def ranged(value: Interval, kind: Kind) -> str:
    """An interval in the reader's unit, one value where its ends read the same."""
    low, high = amount(value.low, kind), amount(value.high, kind)
    return span(low, high)


def percent(share: float) -> str:
    """A chance in whole percent, never as a certainty that it is not."""
    if 0.995 <= share < 1.0:
        return worded("over {number} %", number=99)
    if 0.0 < share < 0.005:
        return worded("under {number} %", number=1)
    return f"{100.0 * share:.0f} %"


def sentence(text: str) -> str:
    """A sentence of the computation for the reader, with a capital first and a full stop last."""
    text = spoken(text).strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '!', '?')) else '.'}"


def within(window: tuple[float, float], unit: str) -> str:
    """A window in a unit."""
    return span(bare(window[0], unit), reading(window[1], unit))


def quantity_name(name: str) -> str:
    """What a bath holds, by the computation's name of it."""
    known = {
        "copper": worded("copper"),
        "sulfuric_acid": worded("sulfuric acid"),
        "chloride": worded("chloride"),
        "volume": worded("volume"),
        "additive": worded("additive, indicative"),
        "density": worded("density"),
        "conductivity": worded("conductivity"),
        "temperature": worded("temperature"),
    }
    return known.get(name) or spoken(name.replace("_", " "))
