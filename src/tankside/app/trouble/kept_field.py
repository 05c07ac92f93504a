"""What a plan says of troubles, kept beside it so that asking does not plan anew: the numbers of
the whole plan, and the field on the part's panels. One numpy archive (npz); SI throughout.
"""

import io
import json
import zipfile
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.evidence import Measured
from tankside.diagnosis.known_numbers import of_plan
from tankside.diagnosis.place import FieldOnPart, field_of

if TYPE_CHECKING:
    from tankside.plan.plan import Plan

FIELD = "trouble.npz"
"""The file's name among what a plan made."""


@dataclass(frozen=True, kw_only=True)
class Planned:
    """Numbers of the whole plan as evidence, and the field on its first part."""

    numbers: tuple[Measured, ...]
    part: FieldOnPart


def planned_of(plan: "Plan") -> Planned:
    """What a plan says."""
    return Planned(numbers=of_plan(plan), part=field_of(plan))


def packed(planned: Planned) -> bytes:
    """As a file."""
    numbers = [[one.quantity, *_ends(one.value), one.origin] for one in planned.numbers]
    arrays = {one.name: getattr(planned.part, one.name) for one in fields(FieldOnPart)}
    into = io.BytesIO()
    np.savez_compressed(into, numbers=np.array(json.dumps(numbers)), **arrays)
    return into.getvalue()


def unpacked(content: bytes) -> Planned:
    """From a file; BadInput where it is not whole."""
    try:
        with np.load(io.BytesIO(content), allow_pickle=False) as found:
            arrays = {one.name: found[one.name] for one in fields(FieldOnPart)}
            numbers = json.loads(str(found["numbers"]))
    except (OSError, EOFError, ValueError, KeyError, zipfile.BadZipFile) as error:
        raise BadInput("what this plan says of troubles cannot be read; plan anew") from error
    return Planned(
        numbers=tuple(
            Measured(quantity=name, value=Interval(low, best, high), origin=origin)
            for name, low, best, high, origin in numbers
        ),
        part=FieldOnPart(**arrays),
    )


def _ends(value: Interval) -> tuple[float, float, float]:
    return value.low, value.best, value.high
