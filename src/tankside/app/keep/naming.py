"""Names of things in the store: found again, or free, whoever else is naming things there."""

from typing import TypeVar

from tankside.app.store_ports import Collection, NothingKept
from tankside.app.store_records import Kept
from tankside.base.errors import BadInput, UnknownName

T = TypeVar("T")


def found(things: Collection[T], name: str) -> Kept[T] | None:
    """The thing of that name, archived or not; None where there is none."""
    try:
        return things.get(name)
    except (UnknownName, NothingKept):
        return None


def free_name(things: Collection[T], wish: str) -> str:
    """The name wished for, or with the first number behind it that makes it free."""
    name, number = wish, 1
    while found(things, name) is not None:
        number += 1
        name = f"{wish} {number}"
    return name


def added(things: Collection[T], wish: str, value: T) -> Kept[T]:
    """A new thing under the name wished for or, where that is taken or somebody else takes it
    meanwhile, with the first free number behind it."""
    while True:
        name = free_name(things, wish)
        try:
            return things.add(name, value)
        except BadInput:
            if found(things, name) is None:  # refused for another reason than its name
                raise
