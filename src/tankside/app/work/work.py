"""A piece of long work as a value: what it is, where it stands, how it ended.

State moves one way: queued, running, then done, failed or cancelled. A server that is stopped while
work runs finds it queued again when it starts anew; work that outlived two servers so is failed.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from tankside.base.errors import BadInput


class WorkKind(StrEnum):
    """What is to be done: examine a part's file, plan a job, or search for a better rig."""

    PART = "part"
    PLAN = "plan"
    RIG = "rig"


class WorkState(StrEnum):
    """Where it stands."""

    QUEUED = "queued"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"

    @property
    def over(self) -> bool:
        """True where nothing more will happen."""
        return self in (WorkState.DONE, WorkState.FAILED, WorkState.CANCELLED)


class Fault(StrEnum):
    """Whose fault a failure is: the input's, the bench's (it cannot be done), or ours."""

    NONE = ""
    INPUT = "input"
    IMPOSSIBLE = "impossible"
    OURS = "ours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What was asked for, never changed afterwards.

    options    of the kind: the unit of a part's file; the file name of a plan's job and the form
               that it came from; the rig that a plan or a search is of, and what a search is to do
    part       the id of the part that a plan is for, or ""
    created    [s since 1970, UTC]
    """

    id: str
    kind: WorkKind
    title: str
    created: float
    part: str = ""
    options: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How far it is.

    stage, fraction    in plain words, and the share of that stage [-]
    started, ended     [s since 1970, UTC]; 0 before
    error, fault       one sentence, and whose fault it is
    attempts           how often it was begun
    """

    state: WorkState = WorkState.QUEUED
    stage: str = ""
    fraction: float = 0.0
    started: float = 0.0
    ended: float = 0.0
    error: str = ""
    fault: Fault = Fault.NONE
    attempts: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """An order and how far it is."""

    order: Order
    standing: Standing

    @property
    def id(self) -> str:
        """The order's."""
        return self.order.id

    @property
    def state(self) -> WorkState:
        """The standing's."""
        return self.standing.state


_ID = re.compile(r"^(?:part|plan|rig)-[0-9a-f]{12}$")


def checked_id(id: str) -> str:
    """The id if it can be one; BadInput otherwise, so that it never leads out of its folder."""
    if not _ID.match(id):
        raise BadInput("{id!r} is not the id of any work", id=id[:40])
    return id
