"""The fields of the plan's form: key, words, kind of quantity, default, why one would know it.

Defaults are the package's example job, the theatre's lantern finial in its 18-litre tank; they are
a place to begin, not advice for another bench. Every answer is text as people type it.
"""

from dataclasses import dataclass

from tankside.base.units.kinds import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """kind       of quantity, or None where `choices` lists the answers (value and words)
    positive   whether it must be above zero, not only not negative
    signed     whether it may be negative
    source     where the help stands, or that it stands nowhere; "" where it tells nothing of the
               world"""

    key: str
    words: str
    default: str
    help: str
    kind: Kind | None = None
    choices: tuple[tuple[str, str], ...] = ()
    positive: bool = True
    signed: bool = False
    source: str = ""


PRACTICE = "common practice, no source"
GUESS = "our guess"
COMPUTED = "computed on your part's own shape"
WAGNER = "Wagner, J. Electrochem. Soc. 98 (1951) 116"
COATED = "Lanzi and Landau, J. Electrochem. Soc. 137 (1990) 1139, its page from memory"
MOVEMENT = "Sigrist, Dossenbach and Ibl (1979) for air; else our guess"
HANDBOOK = "Metal Finishing Guidebook (2013), p. 284, tables VIII and IX"


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields that stand together under a heading."""

    words: str
    fields: tuple[Field, ...]


def _choice(
    key: str, words: str, choices: tuple[tuple[str, str], ...], help: str, source: str = ""
) -> Field:
    return Field(
        key=key, words=words, default=choices[0][0], help=help, choices=choices, source=source
    )


def _number(
    key: str,
    words: str,
    kind: Kind,
    default: str,
    help: str,
    *,
    positive: bool = True,
    signed: bool = False,
    source: str = "",
) -> Field:
    return Field(
        key=key,
        words=words,
        default=default,
        help=help,
        kind=kind,
        positive=positive,
        signed=signed,
        source=source,
    )


GOAL = Group(
    words="What you want",
    fields=(
        _number(
            "thickness",
            "Copper thickness",
            Kind.LENGTH,
            "120 um",
            "120 µm stands handling; 20 to 50 µm is a skin for patina or for more plating.",
            source=PRACTICE,
        ),
        _choice(
            "measured_at",
            "Reached",
            (
                ("mean", "on average over the part"),
                ("thinnest 5 percent", "almost everywhere (thinnest 5 %)"),
            ),
            "Almost everywhere takes longer, and the outer edges get much thicker.",
            source=COMPUTED,
        ),
    ),
)

PART = Group(
    words="The part in the tank",
    fields=(
        _choice(
            "surface",
            "Its surface now",
            (("metal", "metal, or copper already covers it"), ("coat", "conductive paint")),
            "Paint carries little current: copper creeps from the wires, and the plan says how.",
            source=COATED,
        ),
        _number(
            "sheet_resistance",
            "Resistance of the paint",
            Kind.SHEET_RESISTANCE,
            "3 ohm",
            "Ohms per square: between two probes far apart on a strip as long as it is wide. "
            "Used for paint only.",
        ),
        _number(
            "height",
            "Middle of the part above the floor",
            Kind.LENGTH,
            "12.5 cm",
            "Half of the liquid's depth is a good start.",
            source=PRACTICE,
        ),
        _number(
            "turn_x",
            "Turned about the tank's length",
            Kind.ANGLE,
            "0 deg",
            "180 deg hangs it upside down, so that air leaves a socket that opens below.",
            positive=False,
            signed=True,
        ),
        _number(
            "turn_z",
            "Turned about the upright",
            Kind.ANGLE,
            "0 deg",
            "Which side faces the anodes.",
            positive=False,
            signed=True,
        ),
        _choice(
            "wires",
            "Wires that hold it",
            (("2", "two"), ("1", "one")),
            "They are put on top, the nearest places of the surface.",
        ),
        _number("wire", "Wire diameter", Kind.LENGTH, "0.8 mm", "Bare copper, without enamel."),
    ),
)

BATH = Group(
    words="The bath",
    fields=(
        _number(
            "copper_sulfate",
            "Copper sulfate pentahydrate",
            Kind.MASS_CONCENTRATION,
            "75 g/L",
            "The blue crystals as bought, per litre of finished bath. Little of it throws better, "
            "much of it bears more amps.",
            source=HANDBOOK,
        ),
        _number(
            "sulfuric_acid",
            "Sulfuric acid",
            Kind.MASS_CONCENTRATION,
            "190 g/L",
            "Pure acid, per litre of finished bath. It carries the current, so more of it reaches "
            "recesses better.",
            source=HANDBOOK,
        ),
        _number(
            "chloride",
            "Chloride",
            Kind.MASS_CONCENTRATION,
            "70 mg/L",
            "Tap water brings some; bright baths ask for 40 to 90 mg/L.",
            source=PRACTICE,
            positive=False,
        ),
        _number(
            "temperature",
            "Temperature",
            Kind.TEMPERATURE,
            "25 degC",
            "Of the bath in use. Warmth brings copper faster, and uses brighteners up sooner.",
            source=PRACTICE,
        ),
        _choice(
            "agitation",
            "Movement",
            (
                ("gentle air", "gentle air bubbles"),
                ("strong air", "strong air bubbles"),
                ("stirred", "a pump or stirrer"),
                ("still", "none"),
            ),
            "It brings copper to the part: more of it, more amps before edges burn.",
            source=MOVEMENT,
        ),
        _choice(
            "known",
            "What is known of it",
            (("tables", "what tables say"), ("shop", "this shop's own tests")),
            "Your own tests make the answers narrower, as long as they speak of this bath.",
        ),
    ),
)

TANK = Group(
    words="The tank and its anodes",
    fields=(
        _number("tank_length", "Length inside", Kind.LENGTH, "30 cm", "From anode to anode."),
        _number("tank_width", "Width inside", Kind.LENGTH, "24 cm", "Across."),
        _number("tank_height", "Height inside", Kind.LENGTH, "30 cm", "Floor to rim."),
        _number("liquid_depth", "Depth of the liquid", Kind.LENGTH, "25 cm", "As filled."),
        _choice(
            "anodes",
            "Anodes",
            (("2", "one on either side"), ("1", "one side only")),
            "On one side only, the far side of the part gets much less.",
            source=COMPUTED,
        ),
        _number("anode_width", "Anode width", Kind.LENGTH, "16 cm", "Of each copper plate."),
        _number("anode_height", "Anode height", Kind.LENGTH, "20 cm", "Of each copper plate."),
        _number(
            "anode_distance",
            "Anode to the middle of the tank",
            Kind.LENGTH,
            "13 cm",
            "Further away is more even, and takes more volts.",
            source=WAGNER,
        ),
    ),
)

SUPPLY = Group(
    words="The bench supply",
    fields=(
        _number("current_limit", "Most amps", Kind.CURRENT, "5 A", "What it can give."),
        _number("voltage_limit", "Most volts", Kind.VOLTAGE, "8 V", "What it can give."),
    ),
)

GROUPS: tuple[Group, ...] = (GOAL, PART, BATH, TANK, SUPPLY)

FIELDS: dict[str, Field] = {field.key: field for group in GROUPS for field in group.fields}


def defaults() -> dict[str, str]:
    """The form as it first stands."""
    return {key: field.default for key, field in FIELDS.items()}
