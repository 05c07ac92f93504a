"""tankside rig JOB.toml: better rigs as a table or as JSON, and their job files with --out."""

import argparse
import json
import sys
import textwrap
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput
from tankside.base.messages import Reader
from tankside.base.units import UNIT_SYSTEMS
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from tankside.app.fewest_contacts import WiresReply
    from tankside.app.ports import Files, SheetRequest, Tools
    from tankside.app.rig_values import RigProposal, RigReply, RigRequest

WIDTH = 88


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Searches, and prints or writes what was asked for."""
    from tankside.app.improve_a_rig import improve_a_rig
    from tankside.app.rig_reply import reply_as_json, result_as_json, result_from_json

    text = _text(tools, options.job, "the job file")
    if options.wires:
        return _fewest_wires(options, text, tools)
    request = _request(options, text, tools)
    done = None
    if options.resume is not None:
        done = tools.journal(options.resume, encode=result_as_json, decode=result_from_json)
    if options.workers is not None and options.workers < 1:
        raise BadInput("{workers} workers do no work; give one or more", workers=options.workers)
    with tools.sweeps(options.cluster, options.workers) as sweeps:
        reply = improve_a_rig(request, sweeps, progress_line(quiet=options.quiet), done=done)
    if options.out is not None:
        files = {n: text for proposal in reply.proposals for n, text in proposal.jobs.items()}
        drawings = _drawings(reply, options, tools)
        tools.write(options.out, {**files, **drawings, **_meshes(options, text, tools)})
    progress_done(quiet=options.quiet)
    if options.json:
        json.dump(reply_as_json(reply), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("\n".join(_told(reply, options)) + "\n")
    return 0


def _fewest_wires(options: argparse.Namespace, text: str, tools: "Tools") -> int:
    """The fewest wires for the start on the coat, and the job with them."""
    from tankside.app.fewest_contacts import WiresRequest, find_fewest_wires

    search = _request(options, text, tools)
    request = WiresRequest(
        job_text=text,
        job_name=options.job.name,
        files=search.files,
        regions=search.freedoms.regions,
    )
    reply = find_fewest_wires(request, progress_line(quiet=options.quiet))
    if options.out is not None and reply.job is not None:
        drawn = _drawing(reply.job, search.files, options, tools)
        tools.write(
            options.out, {"wires.toml": reply.job, **drawn, **_meshes(options, text, tools)}
        )
    progress_done(quiet=options.quiet)
    if options.json:
        json.dump(_wires_json(reply), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("\n".join(_point(sentence) for sentence in reply.sentences) + "\n")
    return 0


def _drawings(reply: "RigReply", options: argparse.Namespace, tools: "Tools") -> dict[str, bytes]:
    """How the own rig and each better one hang, as drawings."""
    from tankside.app.rig.drawing import drawn_rigs

    return drawn_rigs(reply, tools.sheets(), _sheet_request(options))


def _drawing(
    job: bytes, files: "Files", options: argparse.Namespace, tools: "Tools"
) -> dict[str, bytes]:
    """How the rig with the fewest wires hangs."""
    from tankside.app.rig.drawing import drawn_job

    request = _sheet_request(options)
    drawn = drawn_job(job.decode(), options.job.name, files, tools.sheets(), request)
    return {name.replace("rig", "wires", 1): file for name, file in drawn.files.items()}


def _sheet_request(options: argparse.Namespace) -> "SheetRequest":
    from tankside.app.ports import SheetRequest
    from tankside.app.rig.drawing import title_of

    return SheetRequest(
        title=title_of(options.job.name),
        prepared=date.today().isoformat(),
        paper=options.paper,
        reader=Reader(units=UNIT_SYSTEMS[options.units]),
    )


def _wires_json(reply: "WiresReply") -> dict[str, object]:
    from tankside.app.rig_reply import wires_as_json

    return wires_as_json(reply)


def _request(options: argparse.Namespace, text: str, tools: "Tools") -> "RigRequest":
    from tankside.app.rig_options import USUALLY, RigOptions, rig_request

    regions = None
    if options.regions is not None:
        regions = (_text(tools, options.regions, "--regions"), options.regions.name)
    words = RigOptions(
        goal=options.goal,
        allow=USUALLY if options.allow is None else options.allow,
        lean_degrees=options.lean,
        regions=regions,
        within=options.within,
        start_within=options.start_within,
        minutes=options.minutes,
        evaluations=options.evaluations,
        rigs=options.rigs,
        seed=options.seed,
    )
    return rig_request(text, options.job.name, tools.files(options.job.parent), words)


def _text(tools: "Tools", path: Path, where: str) -> str:
    content = tools.files(path.parent).read(path.name, where=where)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("not a text file in UTF-8", where=path.name) from error


def _meshes(options: argparse.Namespace, text: str, tools: "Tools") -> dict[str, bytes]:
    """The mesh files that the jobs name, to lie beside them."""
    from tankside.app.rig_options import mesh_names

    files = tools.files(options.job.parent)
    names = mesh_names(text, options.job.name)
    return {name: files.read(name, where="the job's meshes") for name in names}


def _told(reply: "RigReply", options: argparse.Namespace) -> Iterator[str]:
    yield f"Goal: {reply.goal.words}."
    yield f"{reply.evaluations} rigs tried in {reply.seconds:.0f} s: {', '.join(reply.freedoms)}."
    yield ""
    yield f"{'':10}{'thinnest':>10}{'hours to':>10}{'copper':>9}{'thick':>8}{'supply':>16}"
    yield f"{'':10}{'place':>10}{'goal':>10}{'used':>9}{'/ thin':>8}"
    yield from _rows(reply)
    if reply.coated:
        yield from _starts(reply)
    if not reply.proposals:
        yield ""
        yield "No rig was found that is better than your own."
    for number, proposal in _numbered(reply):
        yield ""
        yield f"RIG {number}  ({', '.join(sorted(proposal.jobs))})"
        for sentence in (*proposal.changes, *proposal.gains):
            yield _point(sentence)
        wires = (
            "one wire carries"
            if proposal.wires_needed == 1
            else (f"{proposal.wires_needed} wires carry")
        )
        yield _point(f"By load, {wires} the current.")
    yield from _rest(reply, options)


def _rows(reply: "RigReply") -> Iterator[str]:
    rows = [("your own", reply.own), *((f"rig {n}", p.numbers) for n, p in _numbered(reply))]
    for name, row in rows:
        supply = f"{row.current_A:.3g} A {row.voltage_V:.3g} V"
        if row.start_minutes is None:
            yield f"{name:10} does not start: {row.start_failure}"
            continue
        yield (
            f"{name:10}{row.thinnest_um:7.1f} µm{row.hours:8.2f} h{row.copper_g:7.1f} g"
            f"{row.spread:8.2f}{supply:>16}"
        )
    yield f"(thinnest place after {reply.own.hours:.3g} h, which your own rig takes to the goal)"


def _starts(reply: "RigReply") -> Iterator[str]:
    """How copper covers the coat with each rig."""
    yield ""
    yield f"{'START':10}{'coat covered':>14}{'costs the job':>15}{'collars bear':>14}{'wires':>7}"
    rows = [("your own", reply.own), *((f"rig {n}", p.numbers) for n, p in _numbered(reply))]
    for name, row in rows:
        after = "not in time" if row.cover_minutes is None else f"{row.cover_minutes:.3g} min"
        costs = "" if row.start_minutes is None else f"{row.start_minutes:.2g} min"
        collars = f"{100 * row.collar_fraction:.0f} %"
        yield f"{name:10}{after:>14}{costs:>15}{collars:>14}{row.wires:>7}"
    yield "(on the poorest coat believed; collars: of copper's limit, while their copper is thin)"


def _rest(reply: "RigReply", options: argparse.Namespace) -> Iterator[str]:
    yield ""
    yield "THE USUAL RULES (common practice, no source)"
    for rule in reply.rules:
        yield _point(f"{rule.rule}: {rule.rule_sets}. Computed: {rule.computed}")
    if len(reply.pareto) > 1:
        yield ""
        yield "NONE BEATS THESE ON ALL COUNTS (on the coarse mesh of the search)"
        covered = f"{'coat covered':>15}{'wires':>7}" if reply.coated else ""
        yield f"{'hours':>10}{'copper':>11}{'thick / thin':>15}{covered}"
        step = max(1, len(reply.pareto) // 8)
        for point in reply.pareto[::step]:
            start = ""
            if point.cover_minutes is not None:
                start = f"{point.cover_minutes:11.3g} min{point.wires:7d}"
            yield f"{point.hours:10.2f}{point.copper_g:9.1f} g{point.spread:15.2f}{start}"
    if reply.refused:
        yield ""
        found = ", ".join(f"{reason} ({count})" for reason, count in reply.refused.items())
        yield textwrap.fill(f"Rigs that cannot be: {found}.", WIDTH)
    yield ""
    yield from (_point(note) for note in reply.notes)
    if options.out is not None:
        what = "Job files and drawings are" if reply.proposals else "Your own rig's drawing is"
        yield f"\n{what} in {options.out}"


def _numbered(reply: "RigReply") -> Iterator[tuple[int, "RigProposal"]]:
    return iter(enumerate(reply.proposals, 1))


def _point(sentence: str) -> str:
    return textwrap.fill(sentence, WIDTH, initial_indent="  - ", subsequent_indent="    ")
