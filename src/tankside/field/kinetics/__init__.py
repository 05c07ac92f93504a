"""Rate laws of electrodes, one a file."""

from tankside.field.kinetics.butler_volmer import ButlerVolmer
from tankside.field.kinetics.copper_cathode import CopperCathode
from tankside.field.kinetics.copper_deposition import CopperDeposition
from tankside.field.kinetics.copper_dissolution import CopperDissolution
from tankside.field.kinetics.fixed_potential import fixed_potential
from tankside.field.kinetics.hydrogen import Hydrogen
from tankside.field.kinetics.linear_polarisation import LinearPolarisation

__all__ = [
    "ButlerVolmer",
    "CopperCathode",
    "CopperDeposition",
    "CopperDissolution",
    "Hydrogen",
    "LinearPolarisation",
    "fixed_potential",
]
