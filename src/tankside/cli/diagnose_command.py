"""tankside diagnose: a short dialogue from what you see to causes, checks and remedies.

With --seen it asks nothing and prints the record, or one JSON object with --json. What the ledger,
the run's log and a test panel say comes in by options (diagnose_evidence.py).
"""

import argparse
import json
import sys
import textwrap
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.cli.diagnose_evidence import evidence_of, photo_read, pictures_written
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from tankside.app.diagnose import DiagnoseReply, DiagnoseRequest
    from tankside.app.plan_a_job import PlanRequest
    from tankside.app.ports import Tools

WIDTH = 88

_ANSWERS = {"y": "yes", "yes": "yes", "s": "slight", "slight": "slight", "n": "no", "no": "no"}
_ANSWERS |= {"": "unsure", "?": "unsure", "u": "unsure", "unsure": "unsure"}
_ENOUGH = ("stop", "q", "quit", "end")


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Diagnoses, by dialogue or from the options."""
    from tankside.app.diagnose import all_faults, diagnose

    if options.list:
        for name, title, look in all_faults():
            _say(f"{name:<20} {title}: {look}")
        return 0
    if options.pictures is not None:
        _say(pictures_written(options.pictures, tools))
        return 0
    if options.panel_photo is not None:
        for line in photo_read(options, tools):
            _say(line)
        return 0
    request = _request(options, tools)
    if not request.seen and not request.answers:
        if options.json:
            raise BadInput("--json needs --seen; 'tankside diagnose --list' lists the faults")
        request = _dialogue(request)
        if not request.seen:
            _say("Nothing was named, so there is nothing to diagnose.")
            return 0
    reply = diagnose(request, progress_line(quiet=options.json))
    progress_done(quiet=options.json)
    _shown(reply, options, tools)
    return 0


def _shown(reply: "DiagnoseReply", options: argparse.Namespace, tools: "Tools") -> None:
    text = reply.as_text()
    if options.record is not None:
        path: Path = options.record
        page = _pdf(reply, options, tools) if path.suffix.lower() == ".pdf" else text.encode()
        tools.write(path.parent, {path.name: page})
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1, allow_nan=False, ensure_ascii=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(text)


def _pdf(reply: "DiagnoseReply", options: argparse.Namespace, tools: "Tools") -> bytes:
    from tankside.app.ports import SheetRequest
    from tankside.app.record_a_diagnosis import record_a_diagnosis

    how = SheetRequest(title=options.title, prepared=date.today().isoformat(), paper=options.paper)
    return record_a_diagnosis(reply, how, tools.diagnosis_sheets())


def _request(options: argparse.Namespace, tools: "Tools") -> "DiagnoseRequest":
    from tankside.app.diagnose import DiagnoseRequest

    answers = {}
    for name, text in _pairs(options.answer, "--answer"):
        if text.lower() not in _ANSWERS:
            raise BadInput(
                "{text!r} is no answer; say yes, slight, no or unsure",
                text=text,
                where=f"--answer {name}",
            )
        answers[name] = _ANSWERS[text.lower()]
    return DiagnoseRequest(
        seen=tuple(name.strip() for text in options.seen for name in text.split(",")),
        answers=answers,
        values=dict(_pairs(options.value, "--value")),
        family=options.family,
        job=_job(options.job, tools),
        place=_place(options.at),
        **evidence_of(options, tools),
    )


def _pairs(texts: Iterable[str], option: str) -> list[tuple[str, str]]:
    found = []
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals:
            raise BadInput("{text!r} has no '='; write NAME=VALUE", text=text, where=option)
        found.append((name.strip(), value.strip()))
    return found


def _job(path: Path | None, tools: "Tools") -> "PlanRequest | None":
    if path is None:
        return None
    from tankside.app.plan_a_job import PlanRequest

    files = tools.files(path.parent)
    text = files.read(path.name, where="--job").decode("utf-8-sig", errors="replace")
    return PlanRequest(job_text=text, job_name=path.name, files=files)


def _place(text: str | None) -> str | tuple[float, float, float] | None:
    """A name, or three lengths with commas between."""
    if text is None or "," not in text:
        return text
    parts = [quantity(part.strip(), Kind.LENGTH, where="--at") for part in text.split(",")]
    if len(parts) != 3:
        raise BadInput(
            "{text!r} is no point; write three lengths, or a name", text=text, where="--at"
        )
    return parts[0], parts[1], parts[2]


def _dialogue(request: "DiagnoseRequest") -> "DiagnoseRequest":
    """Asks until an answer stands out, nothing is left worth asking, or the person has enough."""
    from dataclasses import replace

    from tankside.app.diagnose import asked, diagnose

    request = replace(request, seen=_seen())
    answers: dict[str, str] = {}
    while request.seen:
        reply = diagnose(replace(request, answers=answers))
        _say(f"\n{reply.diagnosis.sentence}")
        if reply.settled or not reply.proposed:
            break
        best = reply.proposed[0]
        _say(f"\n[{best.effort / 60:.0f} min] {asked(best.finding)}")
        said = _line("yes, slight, no, enter for unsure, or stop> ").lower()
        if said in _ENOUGH:
            break
        if said in _ANSWERS:
            answers[best.finding] = _ANSWERS[said]
        else:
            _say("Please answer yes, slight, no, or leave the line empty.")
    _say("")
    return replace(request, answers=answers)


def _seen() -> tuple[str, ...]:
    """The faults that a person names in own words and picks by number."""
    from tankside.app.diagnose import understood

    chosen: list[str] = []
    _say("What do you see, on part, meter or bath? In your own words; an empty line goes on.")
    while text := _line("> "):
        if text.lower() in _ENOUGH:
            break
        offered = understood(text)
        if not offered:
            _say(
                "I know no such words; 'tankside diagnose --list' lists all faults, and "
                "'tankside diagnose --pictures DIR' draws them."
            )
            continue
        for number, (_, title, look) in enumerate(offered, start=1):
            _say(f"  {number}  {title}: {look}")
        picked = _line("which numbers fit? enter for none> ").replace(",", " ").split()
        chosen += [
            offered[int(number) - 1][0]
            for number in picked
            if number.isdigit() and 1 <= int(number) <= len(offered)
        ]
        _say(f"Noted so far: {', '.join(chosen) or 'nothing'}. Anything else?")
    return tuple(dict.fromkeys(chosen))


def _line(prompt: str) -> str:
    """One line from the person; empty at the end of the input, which ends the dialogue."""
    sys.stdout.write(prompt)
    sys.stdout.flush()
    text = sys.stdin.readline()
    return text.strip() if text else "stop"


def _say(text: str) -> None:
    for line in text.split("\n"):
        sys.stdout.write(textwrap.fill(line, WIDTH, subsequent_indent="     ") + "\n")
