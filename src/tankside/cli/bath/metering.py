"""tankside bath density, ph and conductivity: what a meter showed, and what it can tell."""

import argparse
from typing import TYPE_CHECKING

from tankside.cli.bath.files import into, noted_at
from tankside.cli.bath.pages import Page, first_up, plain, print_json
from tankside.cli.bath.titrating import finding_page, show_finding, value_of

if TYPE_CHECKING:
    from tankside.app.bath.read_a_meter import DensityReply
    from tankside.app.ports import Tools

_PAIRS = 6


def density(options: argparse.Namespace, tools: "Tools") -> int:
    """A hydrometer's reading; alone it never parts copper from acid."""
    from tankside.app.bath.keep_a_ledger import note_findings
    from tankside.app.bath.read_a_meter import DensityRequest, read_density

    reply = read_density(
        DensityRequest(
            shown=options.shown,
            temperature=options.temperature,
            scale=options.scale,
            division=options.division,
            calibrated=options.calibrated,
            plastic=options.plastic,
            copper=options.copper,
            acid=options.acid,
        )
    )
    ledger = into(options, tools)
    noted: tuple[str, ...] = ()
    if ledger is not None:
        added = note_findings(ledger, (reply.finding,), at=noted_at(options))
        noted = (f"The density stands in {options.note}.", *added.notes)
    if options.json:
        print_json(reply.as_json())
        return 0
    page = finding_page(reply.finding)
    _pairs(page, reply)
    page.points("NOTED", noted)
    page.printed()
    return 0


def ph(options: argparse.Namespace, tools: "Tools") -> int:
    """A pH meter's reading."""
    from tankside.app.bath.read_a_meter import PHRequest, read_ph

    reply = read_ph(
        PHRequest(shown=options.shown, buffers=options.buffer, temperature=options.temperature)
    )
    show_finding(reply, options, tools)
    return 0


def conductivity(options: argparse.Namespace, tools: "Tools") -> int:
    """A conductivity meter's reading."""
    from tankside.app.bath.read_a_meter import ConductivityRequest, read_conductivity

    reply = read_conductivity(
        ConductivityRequest(
            shown=options.shown,
            temperature=options.temperature,
            full_scale=options.full_scale,
            standard=options.standard,
            standard_shown=options.standard_shown,
            standard_temperature=options.standard_temperature,
            compensates=not options.raw,
        )
    )
    show_finding(reply, options, tools)
    return 0


def _pairs(page: Page, reply: "DensityReply") -> None:
    if reply.other is not None:
        one = reply.other
        page.points(
            "WITH WHAT YOU SAID",
            [
                f"{first_up(plain(one.quantity))}: {value_of(one)}, by {one.method}.",
                *one.notes,
            ],
        )
    if reply.line is None:
        return
    line = reply.line
    count = len(line.sulfuric_acid)
    places = sorted({round(step * (count - 1) / (_PAIRS - 1)) for step in range(_PAIRS)})
    page.head("PAIRS THAT WEIGH THIS (a density alone does not choose between them)")
    page.table(
        [
            ("copper sulfate pentahydrate", "sulfuric acid"),
            *(
                (
                    f"{float(line.copper_sulfate_pentahydrate[place]):.0f} g/L",
                    f"{float(line.sulfuric_acid[place]):.0f} g/L",
                )
                for place in places
            ),
        ],
        right=(0, 1),
    )
    page.say(
        f"The acid of each pair is good to {line.half_width:.0f} g/L either way. With --copper or "
        "--acid from a titration the other follows."
    )
