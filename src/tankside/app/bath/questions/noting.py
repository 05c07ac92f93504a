"""The forms of what happened to a bath, for the check of their answers while they are typed; the
bath's page lays them out itself.
"""

from tankside.app.bath.note_fields import NOTE_KINDS, NoteField
from tankside.app.bath.questions.field import (
    Asked,
    Group,
    Question,
    Read,
    Reader,
    dissolved,
    no_reading,
    size,
    spread_size,
    whole,
)
from tankside.app.bath.rinse_a_part import MOST_PARTS
from tankside.base.errors import BadInput
from tankside.base.units import Kind


def _amount(text: str) -> Read:
    """A mass, or the volume of a liquid."""
    try:
        return spread_size(Kind.MASS)(text)
    except BadInput:
        return spread_size(Kind.VOLUME)(text)


def _sure(reader: Reader) -> Reader:
    """With a spread, as an analysis must have."""

    def read(text: str) -> Read:
        found = reader(text)
        if found is not None and not found[0].high > found[0].low:
            raise BadInput("say how sure {text!r} is, with ± behind it", text=text)
        return found

    return read


_READERS: dict[str, Reader] = {
    "copper": dissolved("Cu", sure=True),
    "sulfuric_acid": dissolved("H2SO4", sure=True),
    "chloride": dissolved("Cl", sure=True),
    "density": _sure(spread_size(Kind.DENSITY)),
    "conductivity": _sure(spread_size(Kind.CONDUCTIVITY)),
    "temperature": size(Kind.TEMPERATURE),
    "charge": size(Kind.CHARGE),
    "amount": _amount,
    "volume": spread_size(Kind.VOLUME),
    "level": spread_size(Kind.VOLUME),
    "area": size(Kind.AREA),
    "parts": whole(1, MOST_PARTS),
    "duration": size(Kind.TIME),
    "anode_area": size(Kind.AREA),
}


def _asked(one: NoteField) -> Asked:
    return Asked(
        key=one.key,
        words=one.words,
        example=one.example,
        needed=one.needed,
        read=_READERS.get(one.key, no_reading),
    )


NOTES = tuple(
    Question(
        name=f"note-{kind.kind}",
        words=kind.words,
        groups=(Group(fields=tuple(_asked(one) for one in kind.fields)),),
    )
    for kind in NOTE_KINDS
    if kind.fields
)
