"""tankside part FILE: what the mesh holds, whether it is whole, and what it measures."""

import argparse
import json
import sys
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.units import Kind, in_unit, quantity, shown
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from tankside.app.examine_a_part import PartReply
    from tankside.app.ports import Tools

WIDTH = 88


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Examines and prints."""
    from tankside.app.examine_a_part import PartRequest, examine_a_part

    file: Path = options.file
    request = PartRequest(
        file_name=file.name,
        files=tools.files(file.parent),
        unit=options.unit,
        print_density=quantity(options.print_density, Kind.DENSITY, where="--print-density"),
        infill=options.infill,
        wall=quantity(options.wall, Kind.LENGTH, where="--wall"),
        bath_density=quantity(options.bath_density, Kind.DENSITY, where="--bath-density"),
    )
    reply = examine_a_part(request, progress_line(quiet=options.json))
    progress_done(quiet=options.json)
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("\n".join(_told(reply)) + "\n")
    return 0


def _told(reply: "PartReply") -> Iterator[str]:
    loaded = reply.loaded
    number = loaded.file_triangles
    yield f"{loaded.file_name}: {number:,} {'triangle' if number == 1 else 'triangles'}"
    guessed = loaded.unit_origin.name == "GUESSED"
    yield from _points("UNIT", [loaded.unit_explanation + (_ask(loaded.unit) if guessed else "")])
    yield from _points("FINDINGS", [*loaded.notes, *reply.report.sentences])
    yield from _points("REPAIR", reply.repair.sentences)
    yield from _points("MEASURES", list(_measures(reply)))


def _ask(unit: str) -> str:
    return f"; say --unit {unit} if that is so, or the right one"


def _points(head: str, sentences: Iterable[str]) -> Iterator[str]:
    yield ""
    yield head
    for sentence in sentences:
        yield textwrap.fill(sentence, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def _measures(reply: "PartReply") -> Iterator[str]:
    measures = reply.measures
    if measures is None:
        yield f"None: {reply.unmeasured}."
        return
    yield f"Wet area {shown(measures.wet_area.best, 'cm^2', 4)}."
    yield f"Volume of material {in_unit(measures.material_volume.best, 'mL'):.4g} cm³."
    if measures.cavity_volume.best > 0:
        yield f"Sealed cavities {in_unit(measures.cavity_volume.best, 'mL'):.3g} cm³: they lift."
    yield from measures.notes
    yield from _floating(reply)
    yield from _pockets(reply)
    yield from _recesses(reply)


def _floating(reply: "PartReply") -> Iterator[str]:
    found = reply.buoyancy
    if found is None:
        return
    weight = abs(in_unit(found.apparent_mass, "g"))
    does = (
        f"floats, and {weight:.3g} g hold it down" if found.floats else f"sinks by {weight:.3g} g"
    )
    yield (
        f"Printed as said (--print-density, --infill, --wall) it weighs {shown(found.mass, 'g')}; "
        f"in a bath of {in_unit(found.liquid_density, 'g/L'):.4g} g/L it {does}."
    )


def _pockets(reply: "PartReply") -> Iterator[str]:
    if reply.pockets is None:
        return
    for words, found in (
        ("traps air when hung", reply.pockets.gas),
        ("carries bath out", reply.pockets.liquid),
    ):
        for pocket in found[:3]:
            low, high = (in_unit(end, "mL") for end in (pocket.volume.low, pocket.volume.high))
            place = ", ".join(str(round(in_unit(float(x), "mm"))) for x in pocket.tip)
            yield (
                f"As in the file, z up, a pocket {words}: {low:.3g} to {high:.3g} mL, "
                f"{shown(pocket.depth, 'mm')} deep, at ({place}) mm."
            )
        if not found:
            yield f"As in the file, z up, nothing {words}."


def _recesses(reply: "PartReply") -> Iterator[str]:
    if reply.recesses is None:
        return
    for recess in reply.recesses.recesses[:3]:
        kind = "passage" if recess.passage else "recess"
        place = ", ".join(str(round(in_unit(float(x), "mm"))) for x in recess.mouth)
        yield (
            f"A {kind} {recess.ratio:.1f} times as deep as wide ({shown(recess.depth, 'mm')} to "
            f"{shown(recess.width, 'mm')}), mouth at ({place}) mm."
        )
