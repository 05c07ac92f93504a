"""The border between what a person asks and the laws that answer.

A law that is asked beyond the range it was measured in, or of which no value is held, says so; at
this border that is the asker's to mend, as whatever else was typed wrong.
"""

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from tankside.base.errors import BadInput, MissingData, OutsideValidity

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")


def within_laws(use_case: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
    """The use case, with OutsideValidity and MissingData as BadInput."""

    @wraps(use_case)
    def answered(*asked: Asked.args, **named: Asked.kwargs) -> Answer:
        try:
            return use_case(*asked, **named)
        except (OutsideValidity, MissingData) as error:
            raise BadInput(error.message, where=error.where) from error

    return answered
