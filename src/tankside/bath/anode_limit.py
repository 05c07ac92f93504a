"""Above which current density a copper anode may go passive.

At the anode copper and sulfate pile up until the salt crystallises on it and, in the end, an
oxide blocks it. No law that fits a home bath was found; the trade's rule of 1 to 3 A/dm² stands
in, with a wide interval. Stronger, colder and stiller baths are at its low end.
"""

from tankside.base.messages import Quantity, said
from tankside.bath.estimate import Estimate
from tankside.bath.parameters import parameter


def anode_limit() -> Estimate:
    """Anode current density above which copper anodes may go passive [A m⁻²]."""
    value = parameter("anode_limit").value
    return Estimate(
        value=value,
        assumptions=(
            said(
                "Anodes are taken to stay active up to about {value}, the trade's rule without "
                "a source; blue crystals on an anode mean that it was lower.",
                value=Quantity(value.best, "A/dm^2", 2),
            ),
        ),
    )
