"""The numbers that define the discrete boundary operators, dense and hierarchical alike."""

REACH = 3.1
"""Targets within this many longest edges of a panel's centroid see the potential rise on it [-]."""

ALIKE = 0.8
"""Least cosine between the normals of panels that one slope is fitted to [-]."""

IN_PLANE = 1e-9
"""Heights above a panel below this many longest edges count as none [-]."""

SHELTER = 2.0
"""Power of the narrowest panel's height at a corner over a panel's own, by which what meets there
counts for that panel against its own slope [-]."""
