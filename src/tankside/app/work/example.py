"""Use case: the example part and the answers of its plan, for a first plan within minutes."""

from typing import TYPE_CHECKING

from tankside.app.work.work import Work, WorkKind

if TYPE_CHECKING:
    from tankside.app.work.queue import WorkQueue

_FINIAL = {"turn_x": "180 deg"}
"""Upside down, so that air leaves its socket; all else as the form's defaults."""


def add_example_part(queue: "WorkQueue") -> Work:
    """The lantern finial, made anew and examined."""
    from tankside.app.example_job import example_files

    name = "finial.stl"
    return queue.add(
        WorkKind.PART,
        "Lantern finial",
        {name: example_files()[name]},
        options={"file": name, "unit": "mm", "example": True},
    )


def example_answers(part: Work) -> dict[str, str]:
    """Answers to begin a part's plan with, besides the defaults."""
    return dict(_FINIAL) if part.order.options.get("example") else {}
