"""What is asked of a titration: of one that is to be done, and of readings that were taken.

Hints that name no source are common practice.
"""

from tankside.app.bath.entries import concentration_range
from tankside.app.bath.questions.field import (
    Asked,
    Group,
    Question,
    Read,
    dissolved,
    named,
    size,
    whole,
)
from tankside.app.bath.questions.glassware import (
    burette,
    glass,
    method,
    optional,
    otherwise,
    run,
    sample,
    set_against,
    titrant,
)
from tankside.app.bath.questions.metering import plain
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.bath.analysis.acid_end_point import indicators
from tankside.bath.analysis.chloride import Looks

RUNS = 3
"""Readings of a titration that a form has room for."""
CLOUDS = 3
_FORMULA = {"copper": "Cu", "acid": "H2SO4", "chloride": "Cl"}
_EXAMPLE = {"copper": "50 g/L", "acid": "60 g/L", "chloride": "70 mg/L"}
_TITLE = {
    "copper": "Titrate copper",
    "acid": "Titrate free acid",
    "chloride": "Titrate chloride with silver nitrate",
}
LOOKS_WORDS = {"clearer": "clearer", "same": "the same", "cloudier": "cloudier"}


def _pairs(text: str) -> Read:
    for line in text.splitlines():
        volume, equals, reading = line.partition("=")
        if line.strip() and not equals:
            raise BadInput("{line!r} is no pair; write '1.20 mL = 231 mV'", line=line.strip())
        if line.strip():
            quantity(volume, Kind.VOLUME, where="")
            quantity(reading, Kind.VOLTAGE, where="")
    return None


def _standard(text: str) -> Read:
    return concentration_range(text, where=""), Kind.MASS_CONCENTRATION


def plan(what: str) -> Question:
    """How a titration is done."""
    return Question(
        name=f"plan-{what}",
        words=f"{_TITLE[what]}: how to do it",
        groups=(
            Group(
                fields=(
                    Asked(
                        key="expected",
                        words="About what it holds",
                        option="--expect",
                        example=_EXAMPLE[what],
                        needed=True,
                        read=dissolved(_FORMULA[what]),
                        help="The sample is sized so that the burette is well used. From the "
                        "ledger, where it knows.",
                    ),
                    *method(what),
                    burette(),
                    Asked(
                        key="pipette",
                        words="Pipette or syringe at hand",
                        option="--pipette",
                        printed=True,
                        choices=optional(glass("pipette", "syringe"), "whichever suits"),
                        help="The sample's own error is most of the doubt: a bulb pipette beats a "
                        "syringe.",
                    ),
                    Asked(
                        key="flask",
                        words="Measuring flask at hand",
                        option="--flask",
                        printed=True,
                        choices=optional(glass("flask"), "whichever suits"),
                        help="A strong bath is thinned in it first.",
                    ),
                    Asked(
                        key="runs",
                        words="Runs",
                        option="--runs",
                        usual="2",
                        read=whole(1, 10),
                        help="Two that agree; a third where they do not.",
                    ),
                )
            ),
            Group(words="The titrant", fields=titrant(what), more=True),
        ),
    )


def _runs() -> tuple[Asked, ...]:
    return tuple(
        Asked(
            key=f"run{number}",
            words=f"Run {number}",
            option=f"run {number}",
            example="17.35 mL",
            needed=number == 1,
            read=run,
            help="What ran out, or the burette before and after: '0.40-17.75 mL'."
            if number == 1
            else "",
        )
        for number in range(1, RUNS + 1)
    )


def _expected(what: str) -> Asked:
    return Asked(
        key="expected",
        words="About what it should hold",
        option="--expect",
        example=_EXAMPLE[what],
        read=dissolved(_FORMULA[what]),
        help="Asks back where the answer is far from it: half the sample, a wrong strength.",
    )


SURE = Asked(
    key="sure",
    words="It is as I typed it",
    tick=True,
    help="Tick it where you were asked about a slip, and there was none.",
)


def copper() -> Question:
    """Readings of a titration of copper."""
    return Question(
        name="copper",
        words=_TITLE["copper"],
        groups=(
            Group(words="What the burette said", fields=_runs()),
            sample(),
            Group(fields=(*method("copper"), burette(), _expected("copper"), SURE)),
            Group(
                words="The titrant",
                more=True,
                fields=(
                    *titrant("copper"),
                    Asked(key="blank", words="A flask without bath took", option="--blank",
                          example="0.05 mL", read=size(Kind.VOLUME, zero=True)),
                ),
            ),
            otherwise(),
            set_against(),
        ),
    )  # fmt: skip


def acid() -> Question:
    """Readings of a titration of free acid."""
    return Question(
        name="acid",
        words=_TITLE["acid"],
        groups=(
            Group(words="What the burette said", fields=_runs()),
            sample(),
            Group(
                fields=(
                    Asked(
                        key="copper",
                        words="Copper in the bath",
                        option="--copper",
                        example="52 ± 3 g/L",
                        needed=True,
                        read=dissolved("Cu"),
                        help="It shifts the end of the titration. From the ledger, where it knows.",
                    ),
                    Asked(
                        key="indicator",
                        words="Stopped by",
                        option="--indicator",
                        usual="methyl orange",
                        choices=named(
                            tuple(indicators()), lambda name: f"{name}, {indicators()[name].words}"
                        ),
                        help="Copper falls out above pH 5: an indicator that turns before, or a "
                        "meter.",
                    ),
                    Asked(
                        key="water",
                        words="Water in the flask",
                        option="--water",
                        usual="100 mL",
                        read=size(Kind.VOLUME),
                    ),
                    burette(),
                    _expected("acid"),
                    SURE,
                )
            ),
            Group(words="The titrant", more=True, fields=titrant("acid")),
            otherwise(),
            set_against(),
        ),
    )


def chloride() -> Question:
    """Readings of a titration of chloride along a curve."""
    return Question(
        name="chloride",
        words=_TITLE["chloride"],
        groups=(
            Group(
                words="What burette and electrode said",
                fields=(
                    Asked(
                        key="pairs",
                        words="Pairs, one a line",
                        example="1.20 mL = 231 mV",
                        needed=True,
                        lines=True,
                        read=_pairs,
                        help="Burette and millivolts, ten or more, close together where it jumps.",
                    ),
                ),
            ),
            sample(),
            Group(
                fields=(
                    Asked(key="water", words="Water in the flask", option="--water",
                          usual="100 mL", read=size(Kind.VOLUME)),
                    burette(),
                    _expected("chloride"),
                    SURE,
                )
            ),
            Group(words="The titrant", more=True, fields=titrant("chloride")),
            otherwise(),
            set_against(),
        ),
    )  # fmt: skip


def cloud() -> Question:
    """Chloride's cloud beside standards."""
    pairs = [
        (
            Asked(
                key=f"standard{number}",
                words=f"Standard {number}",
                option="--cloud",
                example=("50 mg/L", "75 mg/L", "100 mg/L")[number - 1],
                needed=number == 1,
                read=_standard,
                help="Salt in water of the bath's acid, with the same drops of silver nitrate: "
                "two standards with the sample between them say most."
                if number == 1
                else "",
            ),
            Asked(
                key=f"looks{number}",
                words=f"Beside standard {number} the sample looks",
                usual="same",
                choices=tuple((one.value, LOOKS_WORDS[one.value]) for one in Looks),
            ),
        )
        for number in range(1, CLOUDS + 1)
    ]
    return Question(
        name="cloud",
        words="Compare chloride's cloud with standards",
        groups=(
            Group(fields=tuple(one for pair in pairs for one in pair)),
            Group(
                fields=(
                    Asked(
                        key="thinned",
                        words="The sample was thinned",
                        option="--thinned",
                        example="10",
                        read=plain,
                        help="So many times. Empty: not at all.",
                    ),
                )
            ),
        ),
    )
