"""The numbers that define the discrete boundary operators, dense and hierarchical alike."""

REACH = 4.0
"""Targets within this many longest edges of a panel's centroid see the slope on it [-]."""

ALIKE = 0.8
"""Least cosine between the normals of panels that one slope is fitted to [-]."""

IN_PLANE = 1e-9
"""Heights above a panel below this many longest edges count as none [-]."""
