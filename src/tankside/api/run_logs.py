"""A logger's file of a run that is done already: handed in, looked at, taken in."""

from typing import Annotated, Any

from fastapi import APIRouter, File, Request, UploadFile
from pydantic import BaseModel, Field

from tankside.api.runs import RunReply, run_reply
from tankside.app.work.run_logs import LARGEST, hand_in_log, heads_of_log, look_at_log, take_log
from tankside.app.work.workplace import Workplace

router = APIRouter(tags=["runs"])
Text = Annotated[str, Field(max_length=200)]


class LogColumns(BaseModel):
    """Heads of the columns, all three or none to have them guessed; and when the log began, as
    "2026-03-01 18:30" in the server's time, for a file that counts from its own beginning."""

    time: Text = ""
    voltage: Text = ""
    current: Text = ""
    start: Text = ""


@router.put("/runs/{id}/log")
def hand_in(
    request: Request, id: str, file: Annotated[UploadFile, File(description="a table as text")]
) -> list[str]:
    """Keeps the file beside a run that was begun for a logger's file; the heads of its columns."""
    hand_in_log(_place(request), id, file.file.read(LARGEST + 1))
    return list(heads_of_log(_place(request), id))


@router.post("/runs/{id}/log/preview")
def preview(request: Request, id: str, columns: LogColumns) -> dict[str, Any]:
    """How the file would be taken in."""
    return look_at_log(_place(request), id, **columns.model_dump()).as_json()


@router.post("/runs/{id}/log/take")
def take(request: Request, id: str, columns: LogColumns) -> RunReply:
    """Takes it in; the run has ended then."""
    take_log(_place(request), id, **columns.model_dump())
    return run_reply(_place(request).runs.view(id))


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found
