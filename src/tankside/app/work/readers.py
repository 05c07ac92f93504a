"""Sheets as the people of this bench like them, by their preferences."""

from tankside.app.ports import SheetRequest
from tankside.app.work.languages import reader_of
from tankside.app.work.preferences import Preferences


def how_liked(likes: Preferences, prepared: str, title: str = "") -> SheetRequest:
    """A sheet as these people like theirs; `prepared` is the date as text."""
    return SheetRequest(
        title=title, prepared=prepared, paper=likes.paper.value, reader=reader_of(likes)
    )
