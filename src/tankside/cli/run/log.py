"""tankside run log: take a data logger's file in as the samples of a run that was done by hand."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.take_a_log import LogRequest, read_a_log, take_a_log
from tankside.cli.run.place import opened
from tankside.cli.run.talk import printed, say

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Says how the file is understood, and takes it in."""
    file: Path = options.file
    content = tools.files(file.parent).read(file.name, where="the log")
    reply = read_a_log(
        LogRequest(
            content=content,
            name=file.name,
            time=options.time,
            voltage=options.volts,
            current=options.amps,
            start=options.start,
        )
    )
    if not options.look:
        with opened(options, tools) as place:
            state = take_a_log(place.keeper, reply, ended=options.ended)
    printed(reply.as_json() if options.json else reply.text())
    if not (options.look or options.json):
        say(f"Taken in; the run is {state.stage.value}.")
    return 0
