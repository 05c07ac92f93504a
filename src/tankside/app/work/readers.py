"""Who reads: the people of this bench, by their preferences."""

from tankside.app.ports import SheetRequest
from tankside.app.work.preferences import Preferences
from tankside.base.messages import Reader


def reader_of(likes: Preferences) -> Reader:
    """As these people read sheets."""
    return Reader(units=likes.units)


def how_liked(likes: Preferences, prepared: str, title: str = "") -> SheetRequest:
    """A sheet as these people like theirs; `prepared` is the date as text."""
    return SheetRequest(
        title=title, prepared=prepared, paper=likes.paper.value, reader=reader_of(likes)
    )
