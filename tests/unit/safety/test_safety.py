"""Cautions follow from the work, and dangerous work is refused with a way out."""

from dataclasses import replace

import pytest

from tankside.base.errors import SafetyRefusal
from tankside.safety.activities import FURTHER_CONDITIONS, Activity
from tankside.safety.cautions import ALL, CONDITIONS, Work, all_cautions, cautions_for
from tankside.safety.gates import refuse_unsafe

GENTLE = Work(
    sulfuric_acid=60.0,
    temperature=298.15,
    air_agitation=False,
    voltage_limit=8.0,
    duration=3600.0,
    highest_wire_current_density=1e6,
    makes_hydrogen=False,
)


def ids(work: Work) -> set[str]:
    return {caution.id for caution in cautions_for(work)}


def test_eyes_waste_and_local_rules_are_always_named() -> None:
    assert {"eyes-and-hands", "waste", "local-rules", "mains"} <= ids(GENTLE)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"sulfuric_acid": 190.0}, "strong-acid"),
        ({"temperature": 318.0}, "warm-bath"),
        ({"air_agitation": True}, "mist"),
        ({"voltage_limit": 40.0}, "wet-hands"),
        ({"duration": 40000.0}, "unattended"),
        ({"highest_wire_current_density": 3e7}, "hot-wire"),
        ({"makes_hydrogen": True}, "hydrogen"),
    ],
)
def test_each_danger_raises_its_caution(change: dict[str, float], expected: str) -> None:
    assert expected not in ids(GENTLE)
    assert expected in ids(replace(GENTLE, **change))


def test_every_row_can_be_raised_and_never_advises_the_drain() -> None:
    for caution in all_cautions():
        assert caution.when in CONDITIONS | FURTHER_CONDITIONS
        assert set(caution.activities) <= {ALL, *(one.value for one in Activity)}
        if "drain" in caution.text:
            assert "never pour" in caution.text


@pytest.mark.parametrize(
    "unsafe",
    [{"voltage_limit": 61.0}, {"temperature": 340.0}, {"sulfuric_acid": 400.0}],
)
def test_dangerous_work_is_refused(unsafe: dict[str, float]) -> None:
    safe = {"sulfuric_acid": 190.0, "temperature": 298.15, "voltage_limit": 8.0}
    refuse_unsafe(**safe)
    with pytest.raises(SafetyRefusal):
        refuse_unsafe(**(safe | unsafe))
