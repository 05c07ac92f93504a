"""Whether an answer looks like a slip, and which one.

An answer that is ten times what was expected is far oftener a decimal point, a normality taken for
a molarity or a swapped bottle than a bath that changed tenfold. These are the factors that a slip
leaves behind; where one fits, the question is asked instead of the answer given.
"""

from dataclasses import dataclass
from math import isfinite, log

from tankside.base.errors import BadInput
from tankside.base.messages import Quantity, said
from tankside.base.wording import quoting
from tankside.substances import molar_mass

CLOSE = 0.15
"""How near an answer must come to a slip's factor to be named, as a logarithm [-]: our choice."""

FAR = 1.6
"""Factor from the expectation, up or down, at which any answer is asked about [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A factor that a slip leaves on the answer [-], and the question that it raises."""

    factor: float
    question: str


def refuse_surprise(found: float, expected: float, quantity: str) -> None:
    """BadInput that asks, where `found` is far from `expected` (same unit, both above zero)."""
    if not (isfinite(expected) and expected > 0.0):
        raise BadInput("an expected value is above zero, not {expected}", expected=expected)
    if not 1.0 / FAR < found / expected < FAR:
        raise BadInput(question(found, expected, quantity))


def question(found: float, expected: float, quantity: str) -> str:
    """The sentence for an answer far from what was expected."""
    words = quantity.replace("_", " ")
    ratio = found / expected
    seen = quoting(
        "{words} comes out as {found} where {expected} was expected",
        words=words,
        found=Quantity(found, "g/L"),
        expected=Quantity(expected, "g/L"),
    )
    if ratio <= 0.0:
        return quoting("{seen}; check every reading", seen=seen)
    fitting = [slip for slip in _slips(quantity) if abs(log(ratio / slip.factor)) < CLOSE]
    if not fitting:
        return quoting(
            "{seen}; check bottle, sample and readings, or say that you are sure", seen=seen
        )
    nearest = min(fitting, key=lambda slip: abs(log(ratio / slip.factor)))
    return quoting(
        "{seen}: {question} If not, say that you are sure", seen=seen, question=nearest.question
    )


def _slips(quantity: str) -> tuple[Slip, ...]:
    salt = molar_mass("CuSO4·5H2O") / molar_mass("Cu")
    common = (
        Slip(
            factor=10.0,
            question=said(
                "is a decimal point one place off, or the titrant ten times weaker than its label?"
            ),
        ),
        Slip(
            factor=0.1,
            question=said(
                "is a decimal point one place off, or the titrant ten times stronger than its "
                "label?"
            ),
        ),
        Slip(
            factor=100.0,
            question=said("was a sample or a dilution entered a hundredfold too small?"),
        ),
        Slip(factor=0.01, question=said("was a dilution of a hundred left out?")),
        Slip(factor=1e3, question=said("were milligrams and grams, or mL and L, mixed up?")),
        Slip(factor=1e-3, question=said("were milligrams and grams, or mL and L, mixed up?")),
        Slip(
            factor=2.0,
            question=said(
                "was a strength in normality entered as molarity, or twice as "
                "much bath taken as was written down?"
            ),
        ),
        Slip(
            factor=0.5,
            question=said(
                "was half the bath taken that was written down, or a molarity entered as normality?"
            ),
        ),
    )
    if quantity != "copper":
        return common
    return (
        *common,
        Slip(
            factor=1.0 / salt,
            question=said(
                "was the expectation one of copper sulfate pentahydrate, "
                "where this is copper metal?"
            ),
        ),
        Slip(
            factor=salt,
            question=said("was the expectation one of copper metal entered as copper sulfate?"),
        ),
    )
