"""Runs: the recipe to carry out, the events that happened, the samples and what they add up to."""

from tankside.runs.events import EVENTS, Event
from tankside.runs.journal import Journal, decoded, encoded
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.series import Series
from tankside.runs.states import RunState, Stage, replayed, transitions

__all__ = [
    "EVENTS",
    "Event",
    "Journal",
    "Recipe",
    "RunState",
    "Series",
    "Setting",
    "Stage",
    "decoded",
    "encoded",
    "replayed",
    "transitions",
]
