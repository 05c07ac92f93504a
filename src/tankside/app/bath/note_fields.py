"""What a form asks of each kind of event of a ledger: keys as in typed_events.py, in plain
words."""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.base.errors import TanksideError
from tankside.base.wording import quoting, term


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteField:
    """key        of the event's entry
    words      what is asked
    example    how it is written
    products   True where it is one of the shelf's products
    needed     False where it may be left empty"""

    key: str
    words: str
    example: str = ""
    products: bool = False
    needed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteKind:
    """kind     of event
    words    what happened
    help     why it is noted, and how one knows the numbers"""

    kind: str
    words: str
    help: str
    fields: tuple[NoteField, ...]


def _field(key: str, words: str, example: str, **more: bool) -> NoteField:
    return NoteField(key=key, words=words, example=example, **more)


_LEVEL = _field("level", "Level afterwards", "18 L", needed=False)

NOTE_KINDS: tuple[NoteKind, ...] = (
    NoteKind(
        kind="analysis",
        words="Measured",
        help="Each with its spread, such as 51 ± 1.5 g/L. Leave empty what was not measured.",
        fields=(
            _field("copper", "Copper", "51 ± 1.5 g/L", needed=False),
            _field("sulfuric_acid", "Sulfuric acid", "58 ± 3 g/L", needed=False),
            _field("chloride", "Chloride", "62 ± 8 mg/L", needed=False),
            _field("density", "Density, by the hydrometer", "1.155 ± 0.003 g/mL", needed=False),
            _field("conductivity", "Conductivity", "21 ± 1 S/m", needed=False),
            _field("temperature", "At the bath's temperature", "22 degC", needed=False),
        ),
    ),
    NoteKind(
        kind="ampere-hours",
        words="Plated",
        help="The charge that passed; a stored run tells it.",
        fields=(_field("charge", "Charge", "18 Ah"),),
    ),
    NoteKind(
        kind="addition",
        words="Added from a bottle",
        help="What went in, weighed or measured.",
        fields=(
            _field("product", "Bottle", "", products=True),
            _field("amount", "Amount", "120 mL"),
        ),
    ),
    NoteKind(
        kind="top-up",
        words="Topped up with water",
        help="Water for what went into the air.",
        fields=(
            _field("water", "Water", "", products=True),
            _field("volume", "Volume", "500 mL"),
            _LEVEL,
        ),
    ),
    NoteKind(
        kind="evaporation",
        words="Level read",
        help="What the tank holds by its mark: tells how much went into the air.",
        fields=(_field("level", "It holds", "17.4 L"),),
    ),
    NoteKind(
        kind="drag-out",
        words="Parts lifted out",
        help="Bath clings to a part; their area tells how much.",
        fields=(
            _field("area", "Area of one", "6 dm^2"),
            _field("parts", "How many", "1", needed=False),
        ),
    ),
    NoteKind(
        kind="idle",
        words="Anodes hung in the idle bath",
        help="Copper dissolves by air and acid meanwhile.",
        fields=(
            _field("duration", "For", "60 h"),
            _field("anode_area", "Area of the anodes", "8 dm^2"),
        ),
    ),
    NoteKind(
        kind="withdrawal",
        words="Taken out",
        help="For a test, or into a canister for the hazardous-waste collection; never a drain.",
        fields=(_field("volume", "Volume", "1.5 L"),),
    ),
    NoteKind(
        kind="loss",
        words="Spilt or leaked",
        help="Wiped up and kept as hazardous waste; how much, roughly.",
        fields=(_field("volume", "Volume", "300 ± 100 mL"),),
    ),
    NoteKind(
        kind="carbon",
        words="Treated with carbon",
        help="It takes the additives and organic dirt out.",
        fields=(),
    ),
)
"""In the order in which a form offers them."""


TAKE_OVER: Mapping[str, str] = {
    "volume": term("Volume"),
    "copper": term("Copper"),
    "sulfuric_acid": term("Sulfuric acid"),
    "chloride": term("Chloride"),
}
"""What is asked of a bath that is there already, in the same way."""


def refusal_of_a_note(kind: str, error: TanksideError) -> str:
    """What stands against an event, beside the words that its form has for the entry at fault."""
    key = error.where.removeprefix(f"{kind} ")
    asked = {
        field.key: field.words for one in NOTE_KINDS if one.kind == kind for field in one.fields
    }
    words = {**asked, **(TAKE_OVER if kind == "take-over" else {})}.get(key)
    if words is None:
        return str(error)
    return quoting("{where}: {message}", where=term(words), message=error.message)
