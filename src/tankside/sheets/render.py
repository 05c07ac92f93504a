"""The picture of a part: colour by thickness, soft light, outlines, patterns; supersampled.

Light only hints at the form (at most a fifth darker), because lightness carries the thickness; the
form is told by dark outlines where the depth jumps or the surface folds. Thin lines of equal
thickness at the legend's ticks let a grey print be read. Burning places are hatched in black, bare
ones dotted in white.
"""

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Bools, Ints
from tankside.sheets.camera import Camera
from tankside.sheets.colours import ThicknessScale
from tankside.sheets.raster import NOTHING, Seen, seen
from tankside.sheets.skin import Skin

Singles = npt.NDArray[np.float32]
SUPERSAMPLING = 2
_WIRE = (0.80, 0.79, 0.77)
_LIGHT = np.array([-0.35, 0.55, 0.76])
_OUTLINE = np.float32(0.13)
_STEEP_FOLD = 0.45
"""Cosine between neighbouring normals below which a fold is drawn [-]."""
_JUMP = 6.0 * SUPERSAMPLING
"""Step in depth from pixel to pixel that ends a surface [pixel]."""


def rendered(skin: Skin, camera: Camera, scale: ThicknessScale) -> npt.NDArray[np.uint8]:
    """Pixels (camera.height, camera.width, 3) of the skin on white."""
    fine = camera.enlarged(SUPERSAMPLING)
    sight = seen(fine.projected(skin.corners), width=fine.width, height=fine.height)
    thickness = sight.between_corners(skin.corner_thickness)
    picture = np.ones((fine.height, fine.width, 3), np.float32)
    picture[sight.covered] = _painted(skin, sight, fine, scale.colours_quickly(thickness))
    _draw_lines(picture, skin, sight, thickness, scale)
    return _shrunk(picture)


def _painted(skin: Skin, sight: Seen, camera: Camera, colours: Singles) -> Singles:
    """Singles of the covered pixels (m, 3), with light and patterns."""
    triangle = sight.triangle[sight.covered]
    colours[~skin.of_part[triangle]] = _WIRE
    colours *= _light(skin, sight, camera)[:, None]
    rows, columns = np.nonzero(sight.covered)
    hatched, dotted = skin.burning[triangle], skin.bare[triangle]
    if hatched.any():
        stripes = (rows + columns) % (9 * SUPERSAMPLING) < 2.6 * SUPERSAMPLING
        colours[stripes & hatched] = 0.05
    if dotted.any():
        colours[_dots(rows, columns) & dotted] = 1.0
    return colours


def _light(skin: Skin, sight: Seen, camera: Camera) -> Singles:
    """Brightness of the covered pixels (m,), from 0.8 in the shade to 1."""
    direction = _LIGHT / np.linalg.norm(_LIGHT) @ camera.axes()
    lengths = np.maximum(np.linalg.norm(skin.corner_normals, axis=2), 1e-12)
    towards = sight.between_corners(skin.corner_normals @ direction / lengths)
    return np.float32(0.80) + np.float32(0.20) * np.clip(towards, 0.0, 1.0)


def _dots(rows: npt.NDArray[np.int64], columns: npt.NDArray[np.int64]) -> Bools:
    """A staggered grid of round dots."""
    period = 9 * SUPERSAMPLING
    shift = (rows // period % 2) * (period // 2)
    y, x = rows % period - period / 2, (columns + shift) % period - period / 2
    return np.asarray(x**2 + y**2 < (2.2 * SUPERSAMPLING) ** 2)


def _draw_lines(
    picture: Singles, skin: Skin, sight: Seen, thickness: Singles, scale: ThicknessScale
) -> None:
    """Equal-thickness lines, then folds, then outlines, darkest last."""
    inner = [tick for tick in scale.ticks if scale.low < tick < scale.high]
    of_part = skin.of_part[sight.triangle[sight.covered]]
    thickness_at = np.full(sight.triangle.size, np.float32(scale.low))
    thickness_at[sight.covered.reshape(-1)] = np.where(of_part, thickness, np.float32(scale.low))
    band = np.searchsorted(np.array(inner, np.float32), thickness_at)
    level, fold, outline = _lines(skin, sight, band)
    pixels = picture.reshape(-1, 3)
    level = np.unique(level)
    on_dark = np.where(thickness_at[level] < (scale.low + scale.high) / 2, 0.4, 0.0)
    pixels[level] = pixels[level] * np.float32(0.6) + on_dark.astype(np.float32)[:, None]
    pixels[fold] = pixels[fold] * np.float32(0.35) + np.float32(0.65) * _OUTLINE
    pixels[outline] = _OUTLINE


def _lines(skin: Skin, sight: Seen, band: Ints) -> tuple[Ints, Ints, Ints]:
    """Pixels (flat numbers) where the thickness passes a tick, where the surface folds, and where
    it ends before something else, judged between neighbours to the left and above."""
    triangle, depth = sight.triangle.reshape(-1), sight.depth.reshape(-1)
    width = sight.triangle.shape[1]
    found: tuple[list[Ints], ...] = ([], [], [])
    for step in (1, width):
        differ = (triangle[step:] != triangle[:-step]) | (band[step:] != band[:-step])
        there = np.nonzero(differ)[0]
        here = there + step
        a, b = triangle[here], triangle[there]
        both = (a != NOTHING) & (b != NOTHING)
        gap = np.where(both, depth[here], 0.0) - np.where(both, depth[there], 0.0)
        ends = ~both | (np.abs(gap) > _JUMP)
        folds = ~ends & (np.einsum("ij,ij->i", skin.normals[a], skin.normals[b]) < _STEEP_FOLD)
        passes = ~ends & ~folds & (band[here] != band[there])
        for pixels, mask in zip(found, (passes, folds, ends), strict=True):
            pixels += [here[mask], there[mask]]
    level, fold, outline = (np.concatenate(pixels) for pixels in found)
    return level, fold, outline


def _shrunk(picture: Singles) -> npt.NDArray[np.uint8]:
    """Means of square blocks of pixels, as bytes."""
    step = SUPERSAMPLING
    total = sum(picture[row::step, column::step] for row in range(step) for column in range(step))
    return np.asarray(np.rint(np.asarray(total) * np.float32(255 / step**2)), np.uint8)
