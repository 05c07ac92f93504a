"""The look along a panel laid flat: colour and roughness by its columns.

For each column the median over its rows, which a streak of glare, a scratch or a drop does not
move: lightness and two colours of a space that is even to the eye, and how much the column's
lightness scatters about its own slow course, which tells matt, frosty and pitted from smooth.
"""

import numpy as np

from tankside.base.arrays import Floats

FEATURES = 5
"""Lightness, two colours, fine and coarse roughness."""

BIN = 4
"""Columns taken together where zones are sought: texture ties neighbours to each other."""

_FINE, _COARSE = 1.5, 4.0
"""Scales of roughness [pixels of the panel laid flat]."""

_TRIM = 0.08
"""Share of the rows left out above and below, where edges plate thick: our guess."""


def profile_along(flat: Floats) -> Floats:
    """Features (FEATURES, columns) of a panel laid flat."""
    from skimage.color import rgb2lab

    rows = flat.shape[0]
    kept = flat[int(_TRIM * rows) : rows - int(_TRIM * rows)]
    lab = rgb2lab(kept)
    lightness = lab[:, :, 0]
    medians = np.median(lab, axis=0).T
    rough = [_roughness(lightness, scale) for scale in (_FINE, _COARSE)]
    found: Floats = np.vstack([medians, *rough])
    return found


def as_seen(profile: Floats) -> Floats:
    """The profile (FEATURES, columns / BIN) in means of BIN columns, each feature over what an eye
    tells apart or its own noise, whichever is more."""
    columns = profile.shape[1] // BIN * BIN
    binned = profile[:, :columns].reshape(FEATURES, -1, BIN).mean(axis=2)
    noise = np.array([_noise(one) for one in binned])
    scaled: Floats = binned / np.maximum(noise, _SEEN)[:, None]
    return scaled


def _roughness(lightness: Floats, scale: float) -> Floats:
    """Logarithm of how much the lightness scatters about its smooth course, by column."""
    from scipy.ndimage import gaussian_filter  # a server's start need not wait for it

    scatter = np.abs(lightness - gaussian_filter(lightness, scale))
    found: Floats = np.log(np.median(scatter, axis=0) + 0.1)
    return found


def _noise(feature: Floats) -> float:
    """Standard deviation from bin to bin, from the median of the differences, which steps between
    zones do not move."""
    steps = np.abs(np.diff(feature))
    return float(np.median(steps) / (0.6745 * np.sqrt(2.0)))


_SEEN = np.array([1.5, 1.0, 1.0, 0.15, 0.15])
"""Differences that an eye begins to see [units of lightness and colour; logarithm]: our guess."""
