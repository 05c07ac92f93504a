"""A plan as plain text for a terminal: cautions first, then what to set, then what comes of it.

No line is wider than 88 columns, and nothing rests on colour.
"""

import textwrap
from collections.abc import Iterable, Sequence
from itertools import zip_longest

import numpy as np

from tankside.plan.plan import Plan
from tankside.plan.start import SeedStart
from tankside.sheets import findings
from tankside.sheets.colours import thickness_scale
from tankside.sheets.shares import area_by_thickness
from tankside.sheets.start_words import start_rows, start_told
from tankside.sheets.wording import figure, rounded, sign, spoken

COLUMNS = 88
_BAR = 40
_EIGHTHS = " ▏▎▍▌▋▊▉█"
_ABOUT = 7


def summary_text(plan: Plan) -> str:
    """The summary, ending with a line break."""
    blocks = [
        ["BEFORE YOU START", *_listed(map(spoken, plan.cautions or ("No cautions.",)))],
        [
            "THE PLAN",
            *_wrapped(f"{findings.subheading(plan)}.", "  "),
            "",
            *_set_points(plan),
            "",
            *_wrapped(spoken(plan.limited_by), "  "),
            *_wrapped(findings.rule_in_short(plan), "  "),
        ],
        ["THE START, ON BARE COAT", *_start(plan.start)] if plan.start else [],
        ["WHAT COMES OF IT", *_results(plan)],
        ["HOW THE COPPER LIES", *_histogram(plan)],
        ["LOADS", *_loads(plan)],
        ["LESS SURE", *_listed(map(spoken, plan.warnings))] if plan.warnings else [],
        _wrapped(f"{findings.checks(plan)} {_stands_on(plan)}", ""),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _set_points(plan: Plan) -> list[str]:
    """The four numbers, aligned, each with its remark."""
    rows = [
        (point["name"], f"{point['figure']} {point['unit']}".strip(), point["remark"])
        for point in findings.set_points(plan)
    ]
    return _aligned(rows, "<><")


def _start(start: SeedStart) -> list[str]:
    """Settings of the knob, when copper is where, and how the contacts fare."""
    return [*_aligned(start_rows(start), "><><"), "", *_listed(start_told(start))]


def _results(plan: Plan) -> list[str]:
    """Thickness to the left; weight, size and blemishes to the right."""
    rows = [
        (what, expected, f"({spread})" if spread else "")
        for what, expected, spread in findings.result_rows(plan)
    ]
    left = _aligned(rows[:4], "<><")
    right = _aligned([row[:2] for row in rows[4:7]], "<<")
    blemishes = ", ".join(f"{what.lower()} {share}" for what, share, _ in rows[7:])
    last = f"  {blemishes[0].upper()}{blemishes[1:]}"
    width = max(map(len, left))
    if width + max(map(len, right)) > COLUMNS:
        return [*left, *right, last]
    pairs = zip_longest(left, right, fillvalue="")
    return [*(f"{one:{width}}{other}".rstrip() for one, other in pairs), last]


def _loads(plan: Plan) -> list[str]:
    """Anodes, wires and heat, a line each."""
    rows = [
        (
            name,
            f"{current}, {share} of the whole, {density} {sign('A/dm^2')}; loses {copper}",
            remark,
        )
        for name, current, share, density, copper, remark in findings.anode_rows(plan)
    ]
    rows += [
        (load[0], f"carries {load[1]}, takes {load[2]} itself; gains {load[6]}", load[7])
        for load in findings.wire_rows(plan)
        if load[1]
    ]
    if plan.thief_current > 0:
        rows.append(("Thieves", f"take {findings.wire_rows(plan)[-1][2]}", ""))
    ohmic, lost, held, _, water = findings.heat_rows(plan)
    warmth = f"{ohmic[1]} from the current, {lost[1]} lost; heater {held[2]} to hold"
    rows.append(("Heat", warmth, ""))
    rows.append(("Water", f"{water[2]} lost in the run", ""))
    return _aligned(rows, "<<<")


def _histogram(plan: Plan) -> list[str]:
    """Share of the area by thickness, a bar a class, with the goal's class marked."""
    scale = thickness_scale(plan)
    edges, shares = area_by_thickness(plan, scale, _ABOUT)
    ends = [rounded(round(figure(float(edge), "um"), 2)) for edge in edges]
    width = max(map(len, ends))
    longest = float(shares.max())
    goal = int(np.searchsorted(edges, plan.goal.thickness, side="right")) - 1
    lines = []
    for k, share in enumerate(shares):
        above = "+" if scale.above and k == len(shares) - 1 else " "
        span = f"{ends[k]:>{width}} to {ends[k + 1]:>{width}}{above}{sign('um')}"
        mark = "  < goal" if k == goal else ""
        lines.append(f"  {span}  {100 * share:4.1f} %  {_bar(share / longest)}{mark}".rstrip())
    return lines


def _bar(share: float) -> str:
    """A bar of blocks, to an eighth of a column."""
    eighths = round(share * _BAR * 8)
    whole, rest = divmod(eighths, 8)
    return "█" * whole + (_EIGHTHS[rest] if rest else "")


def _stands_on(plan: Plan) -> str:
    return (
        f"The plan stands on {len(plan.assumptions)} assumptions and {len(plan.sources)} sources; "
        "the sheet and --json list them."
    )


def _aligned(rows: Sequence[Sequence[str]], sides: str) -> list[str]:
    """Rows as columns, "<" flush left and ">" flush right; a last column that is too long wraps."""
    widths = [max(len(row[k]) for row in rows) for k in range(len(sides) - 1)]
    lines = []
    for row in rows:
        cells = [
            f"{cell:{side}{width}}"
            for cell, side, width in zip(row[:-1], sides[:-1], widths, strict=True)
        ]
        start = "  " + "  ".join(cells)
        lines += _wrapped(f"{start}  {row[-1]}".rstrip(), "", later=" " * (widths[0] + 4))
    return lines


def _listed(entries: Iterable[str]) -> list[str]:
    return [line for entry in entries for line in _wrapped(f"- {entry}", "  ", later="    ")]


def _wrapped(text: str, first: str, later: str | None = None) -> list[str]:
    return textwrap.wrap(
        text,
        COLUMNS,
        initial_indent=first,
        subsequent_indent=first if later is None else later,
        break_on_hyphens=False,
        drop_whitespace=True,
        replace_whitespace=False,
        expand_tabs=False,
    )
