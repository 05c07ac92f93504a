"""What is asked of glass, titrant and sample, whatever is titrated.

Hints that name no source are common practice.
"""

from tankside.app.bath.questions.field import (
    Asked,
    Choices,
    Group,
    Read,
    named,
    share,
    size,
    spread_size,
)
from tankside.app.bath.titration_ways import METHODS
from tankside.app.bath.typed_analysis import runs_of
from tankside.base.intervals import Interval
from tankside.base.units import Kind
from tankside.bath.analysis.instruments import instruments, scales

_TITRANT = {"copper": "0.1 mol/L", "acid": "1 mol/L", "chloride": "0.01 mol/L"}
METHOD_WORDS = {
    "edta": "EDTA with murexide, in ammonia buffer",
    "edta-pan": "EDTA with PAN, in acetate buffer",
    "thiosulfate": "iodide and thiosulfate, which counts iron too",
    "hydroxide": "sodium hydroxide",
    "silver": "silver nitrate, by an electrode",
}


def run(text: str) -> Read:
    """How much ran out, from one reading of a burette or two."""
    (one,) = runs_of([text], where="")
    return Interval.exact(one.end - one.start), Kind.VOLUME


def glass(*kinds: str) -> Choices:
    """Glassware of some kinds, by name."""
    return tuple((one.name, one.words) for one in instruments().values() if one.kind in kinds)


def optional(choices: Choices, words: str) -> Choices:
    """Choices with one more first, for none of them."""
    return (("", words), *choices)


def burette() -> Asked:
    """Which burette."""
    return Asked(
        key="burette",
        words="Burette",
        option="--burette",
        usual="burette 25 mL class B",
        printed=True,
        choices=glass("burette"),
        help="Class B is printed on most; a syringe drop by drop does for the first time.",
    )


def titrant(what: str) -> tuple[Asked, ...]:
    """The bottle of titrant."""
    return (
        Asked(
            key="titrant",
            words="Strength of the titrant",
            option="--titrant",
            example=_TITRANT[what],
            read=size(Kind.AMOUNT_CONCENTRATION),
            help="As its label says, in moles a litre; 0.1 N hydroxide is 0.1 mol/L. Empty: the "
            "usual one.",
        ),
        Asked(
            key="tolerance",
            words="Believed within",
            option="--tolerance",
            usual="1 %",
            read=share,
            help="The label's own tolerance; a bottle without one is good to a hundredth at best.",
        ),
        Asked(
            key="age",
            words="Age of the bottle",
            option="--age",
            example="3 months",
            read=size(Kind.TIME, zero=True),
            help="Titrants weaken: thiosulfate by the week, hydroxide by the air. Empty: fresh.",
        ),
    )


def method(what: str) -> tuple[Asked, ...]:
    """Which way, where there are several."""
    ways = METHODS[what]
    if len(ways) < 2:
        return ()
    return (
        Asked(
            key="method",
            words="By which way",
            option="--method",
            usual=next(iter(ways)),
            choices=tuple((name, METHOD_WORDS[name]) for name in ways),
            help="Take EDTA unless iron may be in the bath.",
        ),
    )


def sample() -> Group:
    """How much bath was in a flask."""
    return Group(
        words="The sample in one flask",
        fields=(
            Asked(
                key="sample",
                words="Bath in the flask",
                option="--sample",
                example="2 mL",
                read=size(Kind.VOLUME),
                help="As it was pipetted, not thinned. Empty where it went by way of a measuring "
                "flask, or was weighed.",
            ),
            Asked(
                key="pipette",
                words="Taken with",
                option="--pipette",
                printed=True,
                choices=optional(glass("pipette", "syringe"), "what suits that volume"),
                help="Its error goes into the answer.",
            ),
        ),
    )


def otherwise() -> Group:
    """The other ways to take a sample."""
    pipettes = optional(glass("pipette", "syringe"), "not so")
    return Group(
        words="Thinned in a measuring flask first, or weighed",
        more=True,
        fields=(
            Asked(key="first", words="First pipette, of the bath", printed=True,
choices=pipettes,
                  option="--diluted", help="All three, or none."),
            Asked(key="flask", words="Into the measuring flask",
                  printed=True,
choices=optional(glass("flask"), "not so")),
            Asked(key="second", words="Second pipette, of what is thinned", printed=True,
choices=pipettes),
            Asked(key="weighed", words="Or bath weighed into the flask", option="--weighed",
                  example="2.36 g", read=size(Kind.MASS),
                  help="A scale is surer than a pipette; then the bath's density is needed."),
            Asked(key="bath_density", words="Density of the bath", option="--bath-density",
                  example="1.18 g/mL", read=spread_size(Kind.DENSITY)),
            Asked(key="balance", words="Weighed on", usual="pocket scale 0.01 g",
                  printed=True,
choices=named(tuple(scales()), lambda name: scales()[name].words)),
        ),
    )  # fmt: skip


def set_against() -> Group:
    """What the titrant was set against."""
    return Group(
        words="The titrant was set against a standard",
        more=True,
        fields=(
            Asked(key="standard", words="Standard", option="--standard", example="zinc",
                  help="A weighed standard makes the titrant surer than its label."),
            Asked(key="standard_mass", words="Its mass", option="--standard-mass",
                  example="0.131 g", read=size(Kind.MASS)),
            Asked(key="standard_run", words="Titrant that it took", option="--standard-run",
                  example="20.05 mL", read=run),
        ),
    )  # fmt: skip
