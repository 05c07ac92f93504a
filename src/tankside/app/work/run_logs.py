"""Use case: a logger's file handed in for a run that the pages keep: kept beside the run, looked at
as often as it takes, and taken in once."""

from typing import TYPE_CHECKING

from tankside.app.work.kept_json import write_whole
from tankside.app.work.run_ways import LOGGED
from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.take_a_log import LogReply, LogRequest
    from tankside.app.work.workplace import Workplace

FILE = "logger.csv"
LARGEST = 40 * 2**20
"""Of a logger's file [bytes]: a week at 1 Hz is a third of it."""


def hand_in_log(place: "Workplace", id: str, content: bytes) -> None:
    """Keeps the file beside the run; BadInput where the run is not of that kind, has begun, or the
    file is too large or no table."""
    from tankside.runs.logger_file import heads_of

    _check(place, id)
    if len(content) > LARGEST:
        raise BadInput(
            "the file has more than {most} MiB; thin it out",
            most=LARGEST // 2**20,
            where=FILE,
        )
    heads_of(content, where=FILE)
    write_whole(place.runs.folder(id) / FILE, content)


def heads_of_log(place: "Workplace", id: str) -> tuple[str, ...]:
    """Heads of the file's columns; none before one was handed in."""
    from tankside.runs.logger_file import heads_of

    path = place.runs.folder(id) / FILE
    return heads_of(path.read_bytes(), where=FILE) if path.is_file() else ()


def look_at_log(
    place: "Workplace",
    id: str,
    time: str = "",
    voltage: str = "",
    current: str = "",
    start: str = "",
) -> "LogReply":
    """How the file would be taken in; BadInput, placed at its line, where it cannot be."""
    from tankside.app.take_a_log import read_a_log

    return read_a_log(_request(place, id, (time, voltage, current), start))


def take_log(
    place: "Workplace",
    id: str,
    time: str = "",
    voltage: str = "",
    current: str = "",
    start: str = "",
) -> None:
    """Takes it in: the run has ended then, and the part is out."""
    from tankside.app.take_a_log import take_a_log
    from tankside.runs.events import Lifted

    reply = look_at_log(place, id, time, voltage, current, start)
    _check(place, id)
    keeper, _ = place.runs.opened(id)
    try:
        take_a_log(keeper, reply, ended=True)
        keeper.add_events([Lifted(at=float(reply.series.time[-1]), by="data logger")])
    finally:
        keeper.close()
    place.runs.changed(id)


def _check(place: "Workplace", id: str) -> None:
    if place.runs.how(id)["supply"] != LOGGED or place.runs.view(id).stage != "planned":
        raise BadInput("this run was begun otherwise; begin one for the logger's file")


def _request(
    place: "Workplace", id: str, columns: tuple[str, str, str], start: str
) -> "LogRequest":
    from tankside.app.take_a_log import LogRequest

    path = place.runs.folder(id) / FILE
    if not path.is_file():
        raise BadInput("hand the logger's file in first")
    time, voltage, current = columns
    return LogRequest(
        content=path.read_bytes(),
        name=FILE,
        time=time,
        voltage=voltage,
        current=current,
        start=start.strip().replace("T", " "),
    )
