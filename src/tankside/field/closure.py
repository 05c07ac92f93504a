"""Whether panels close the solution off: K 1 = 1/2 everywhere, and what to say where it is not."""

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import MeshDefect
from tankside.base.messages import Quantity, said
from tankside.field.panels import Panels

GOOD_CLOSURE = 5e-4
"""Largest |1/2 - K 1| of a closed boundary that needs no warning [-]."""

OPEN_CLOSURE = 0.05
"""From here on |1/2 - K 1| means a hole or a body inside out [-]."""


def closure_warnings(panels: Panels, defect: Floats) -> tuple[str, ...]:
    """Sentences on defect = 1/2 - K 1 (n,) of a closed boundary; none where it is good.

    Raises MeshDefect where the defect reaches OPEN_CLOSURE.
    """
    worst = int(np.abs(defect).argmax())
    closure = abs(float(defect[worst]))
    if closure <= GOOD_CLOSURE:
        return ()
    where = said(
        "panel {panel} of body {body} at {place}",
        panel=worst,
        body=panels.group[worst],
        place=Quantity(tuple(map(float, panels.centroids[worst])), "mm", 4),
    )
    if closure >= OPEN_CLOSURE:
        raise MeshDefect(
            "the boundary of the solution is not closed near {place}: what it sees of the "
            "boundary fills {defect:.1f} % of the full sphere instead of 50 %; look for a hole, "
            "for bodies that overlap, or for one turned inside out",
            place=where,
            defect=100 * (0.5 - defect[worst]),
        )
    return (
        said(
            "the boundary of the solution closes only to {closure} at {where} (good is "
            "{good_closure}): there is a slit, or bodies overlap",
            closure=f"{closure:.1e}",
            where=where,
            good_closure=f"{GOOD_CLOSURE:.0e}",
        ),
    )
