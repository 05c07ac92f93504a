"""The procedures of a titration as people call them, the burette, and what is expected."""

from tankside.app.bath.entries import concentration_range
from tankside.base.errors import UnknownName
from tankside.bath.analysis.instruments import Volumetric, instrument, instruments
from tankside.bath.analysis.titration import Titration, titration
from tankside.substances import molar_mass

METHODS = {
    "copper": {
        "edta": "copper-by-edta",
        "edta-pan": "copper-by-edta-pan",
        "thiosulfate": "copper-by-thiosulfate",
    },
    "acid": {"hydroxide": "acid-by-hydroxide"},
    "chloride": {"silver": "chloride-by-silver"},
}
"""Procedures by what they find and how a person calls them; the first is the usual one."""


_MOLAR = {"copper": "Cu", "acid": "H2SO4", "chloride": "Cl"}


def method_of(what: str, name: str) -> Titration:
    """The procedure of a name, or the usual one; UnknownName offers close ones."""
    if what not in METHODS:
        raise UnknownName("titration", what, METHODS)
    ways = METHODS[what]
    chosen = name or next(iter(ways))
    if chosen not in ways:
        raise UnknownName(f"way to titrate {what}", chosen, ways, where="--method")
    return titration(ways[chosen])


def burette_of(name: str) -> Volumetric:
    """The burette of this name; UnknownName for other glass."""
    found = instrument(name)
    if found.kind != "burette":
        known = [one.name for one in instruments().values() if one.kind == "burette"]
        raise UnknownName("burette", name, known, where="--burette")
    return found


def expected_of(text: str, what: str) -> float | None:
    """What the bath is expected to hold [kg m⁻³], None where nothing was typed."""
    if not text:
        return None
    return concentration_range(text, where="--expect", molar_mass=molar_mass(_MOLAR[what])).best
