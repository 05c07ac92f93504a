"""What is asked of a meter's reading: a hydrometer, a pH meter, a conductivity meter.

Hints that name no source are common practice.
"""

from tankside.app.bath.questions.field import (
    Asked,
    Group,
    Question,
    Read,
    Reader,
    dissolved,
    named,
    size,
)
from tankside.app.bath.read_a_meter import SCALES
from tankside.app.bath.typed_findings import plain_range
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity
from tankside.bath.analysis.conductivity_meter import standards as conductivity_standards

BUFFERS = 3
SCALE_WORDS = {
    "density": "density",
    "specific-gravity": "specific gravity",
    "baume-us": "degrees Baumé, as in the US",
    "baume-rational": "degrees Baumé, rational",
}


def plain(text: str) -> Read:
    """Reads a number without a unit."""
    plain_range(text, where="")
    return None


def _ph(text: str) -> Read:
    if text.lower().endswith("v"):
        return Interval.exact(quantity(text, Kind.VOLTAGE, where="")), Kind.VOLTAGE
    return plain(text)


def _by_scale(text: str) -> Read:
    """A hydrometer's reading: a density, or a plain number of another scale."""
    if "/" in text:
        return Interval.exact(quantity(text, Kind.DENSITY, where="")), Kind.DENSITY
    return plain(text)


def density() -> Question:
    """A hydrometer's reading."""
    return Question(
        name="density",
        words="Read a hydrometer",
        groups=(
            Group(
                fields=(
                    Asked(
                        key="shown",
                        words="It shows",
                        option="reading",
                        example="1.182 g/mL",
                        needed=True,
                        read=_by_scale,
                        help="At the level liquid, not at its climbing rim. Of a scale without a "
                        "unit, the plain number.",
                    ),
                    Asked(
                        key="temperature",
                        words="At the bath's temperature",
                        option="--temperature",
                        example="22 degC",
                        needed=True,
                        read=size(Kind.TEMPERATURE),
                        help="Two degrees weigh about as much as a gram of acid a litre.",
                    ),
                    Asked(
                        key="scale",
                        words="Its scale",
                        option="--scale",
                        usual="density",
                        choices=tuple((name, SCALE_WORDS[name]) for name in SCALES),
                    ),
                )
            ),
            Group(
                words="The hydrometer",
                more=True,
                fields=(
                    Asked(key="division", words="Smallest division", option="--division",
                          example="0.002 g/mL", read=_by_scale, help="Empty: the usual one."),
                    Asked(key="calibrated", words="True at", option="--calibrated",
                          usual="20 degC", read=size(Kind.TEMPERATURE)),
                    Asked(key="plastic", words="It is of plastic", tick=True,
                          help="Plastic swells more than glass."),
                ),
            ),
            Group(
                words="One of the two known?",
                more=True,
                fields=(
                    Asked(key="copper", words="Copper", option="--copper", example="52 ± 2 g/L",
                          read=dissolved("Cu", sure=True),
                          help="A density alone never tells copper from acid; with one the other "
                          "follows. The ledger needs neither."),
                    Asked(key="acid", words="Sulfuric acid", option="--acid",
                          example="58 ± 3 g/L", read=dissolved("H2SO4", sure=True)),
                ),
            ),
        ),
    )  # fmt: skip


def ph_meter() -> Question:
    """A pH meter's reading, and its buffers."""
    pairs = [
        (
            Asked(key=f"buffer{number}", words=f"Buffer {number}", option="--buffer",
                  example=("4.01", "1.68", "7.00")[number - 1], needed=number < 3, read=plain,
                  help="Two buffers or more, on both sides of the bath." if number == 1 else ""),
            Asked(key=f"buffer_shown{number}", words=f"Shown in buffer {number}",
                  example=("4.05", "1.70", "7.02")[number - 1], needed=number < 3, read=_ph),
        )
        for number in range(1, BUFFERS + 1)
    ]  # fmt: skip
    return Question(
        name="pH",
        words="Read a pH meter",
        groups=(
            Group(
                fields=(
                    Asked(key="shown", words="It shows in the bath", option="reading",
                          example="3.10", needed=True, read=_ph,
                          help="A pH, or millivolts such as 168 mV. For citrate and acetate baths; "
                          "strong acid is beyond a meter, titrate it."),
                    Asked(key="temperature", words="Temperature of bath and buffers",
                          option="--temperature", example="22 degC", needed=True,
                          read=size(Kind.TEMPERATURE)),
                    *(one for pair in pairs for one in pair),
                )
            ),
        ),
    )  # fmt: skip


def conductivity() -> Question:
    """A conductivity meter's reading, and its check."""
    reading: Reader = size(Kind.CONDUCTIVITY)
    return Question(
        name="conductivity",
        words="Read a conductivity meter",
        groups=(
            Group(
                fields=(
                    Asked(key="shown", words="It shows in the bath", option="reading",
                          example="410 mS/cm", needed=True, read=reading,
                          help="In the bath as it is, not thinned."),
                    Asked(key="temperature", words="At the bath's temperature",
                          option="--temperature", example="22 degC", needed=True,
                          read=size(Kind.TEMPERATURE)),
                    Asked(key="full_scale", words="Its full scale", option="--full-scale",
                          example="1000 mS/cm", needed=True, read=reading,
                          help="Many end below a copper bath: then it only shows its end."),
                    Asked(key="standard", words="Checked in", option="--standard",
                          usual="potassium chloride 1 mol/L",
                          printed=True,
choices=named(tuple(conductivity_standards()))),
                    Asked(key="standard_shown", words="It showed there",
                          option="--standard-shown", example="111 mS/cm", needed=True,
                          read=reading, help="On the same day, with the same cell."),
                    Asked(key="standard_temperature", words="At",
                          option="--standard-temperature", usual="25 degC",
                          read=size(Kind.TEMPERATURE)),
                    Asked(key="raw", words="It does not reduce to 25 °C", tick=True,
                          help="Most do; the paper in its box says it."),
                )
            ),
        ),
    )  # fmt: skip
