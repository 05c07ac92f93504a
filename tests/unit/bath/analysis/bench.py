"""A bench that the tests of the analyses share."""

from tankside.bath.analysis.instruments import instrument
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.samples import Sample

ML = 1e-6
BURETTE = instrument("burette 25 mL class B")


def exact_sample(volume: float) -> Sample:
    """Bath of a volume [m³] known exactly."""
    return Sample(volume=Measured(value=volume), words="exactly so much bath")
