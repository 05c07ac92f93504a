"""What a person says finds the fault that is meant."""

import pytest

from tankside.diagnosis.loading import atlas
from tankside.diagnosis.words import likely_faults

ATLAS = atlas()


@pytest.mark.parametrize("fault", ATLAS.faults)
def test_each_way_a_fault_is_put_finds_it(fault: str) -> None:
    """Among the first three, for all but one of its phrases."""
    missed = [
        text
        for text in ATLAS.faults[fault].said
        if fault not in [one.id for one in likely_faults(text, ATLAS, most=3)]
    ]
    assert len(missed) <= 1, missed


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("the corners went black and crumble", "burnt-edges"),
        ("copper only grew close to the wire and stopped", "bare-far"),
        ("it peeled right off the plastic like a foil", "lifts-with-coat"),
        ("everything feels gritty, like sandpaper", "sandpaper"),
        ("the bath is foaming", "foam"),
        ("there are little branches growing on the tips", "trees"),
        ("my current dropped to nothing and the volts went up", "amps-fall"),
        ("it's matt pink without shine", "dull-all-over"),
        ("blue crystals on the anodes this morning", "blue-crystals"),
        ("weeks later green stuff creeps out of the seam", "green-bleed"),
    ],
)
def test_free_words_find_the_fault(text: str, fault: str) -> None:
    assert fault in [one.id for one in likely_faults(text, ATLAS, most=3)]


def test_words_that_mean_nothing_find_nothing() -> None:
    assert likely_faults("quarterly earnings", ATLAS) == ()
    assert likely_faults("", ATLAS) == ()
