"""The ways in which a run is carried out: by a supply, a simulated one, a person, or a logger."""

from typing import Any

from tankside.base.errors import BadInput

SIMULATED, BY_HAND, LOGGED = "simulated", "by hand", "a logger"
HURRIES = (1.0, 60.0, 600.0)
"""How much faster than life a simulated run may go."""
FAULTS = ("lost contact", "short to anode", "passive anode", "stalled front")
"""What a simulated cell may be given, to try the alarms on."""
OWN_HANDS = (BY_HAND, LOGGED)
"""Ways to carry out a run that need no link to a supply."""


def way_of(supply: str, hurry: float, fault: str) -> dict[str, Any]:
    """How a run is carried out, as it is kept; BadInput where that cannot be."""
    if fault and (supply != SIMULATED or fault not in FAULTS):
        raise BadInput(
            "a simulated run alone takes a fault, one of {faults}", faults=", ".join(FAULTS)
        )
    if hurry not in HURRIES or (supply != SIMULATED and hurry != 1.0):
        raise BadInput("only a simulated run goes faster than life, 60 or 600 times")
    return {"supply": supply, "hurry": hurry, "fault": fault}
