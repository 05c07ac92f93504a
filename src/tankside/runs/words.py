"""The stages and events of a run in words, as sentences that a reader's language can tell. The
English is what a journal and a state write them under."""

from collections.abc import Mapping
from types import MappingProxyType

from tankside.base.messages import said


def _by_english(*words: str) -> Mapping[str, str]:
    return MappingProxyType({str(one): one for one in words})


STAGES = _by_english(
    said("planned"),
    said("entry"),
    said("ramp"),
    said("plating"),
    said("paused"),
    said("ended"),
    said("aborted"),
)
"""By the stage's value."""

EVENTS = _by_english(
    said("begun"),
    said("powered on"),
    said("powered off"),
    said("immersed"),
    said("lifted"),
    said("ramp started"),
    said("set"),
    said("plating started"),
    said("paused"),
    said("resumed"),
    said("read"),
    said("gap"),
    said("alarm raised"),
    said("alarm answered"),
    said("noted"),
    said("ended"),
    said("aborted"),
)
"""By the name that a journal writes."""
