"""All that is asked of analyses: how each titration is done, and what was read."""

from tankside.app.bath.questions.metering import conductivity, density, ph_meter
from tankside.app.bath.questions.titrating import acid, chloride, cloud, copper, plan
from tankside.app.bath.titration_ways import METHODS

PLANS = tuple(plan(what) for what in METHODS)
"""How each titration is done."""

WAYS = (
    copper(),
    acid(),
    chloride(),
    cloud(),
    density(),
    conductivity(),
    ph_meter(),
)
"""What was read, in the order in which a bench has it."""
