"""Photos of panels drawn by ourselves: zones, perspective, glare, scratches and noise are known."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

from tankside.base.arrays import Floats

HEIGHT, WIDTH = 280, 400
"""Of the panel before it is put into the photo."""

LOOKS = {
    "burnt": ((0.22, 0.12, 0.09), 0.08, 1.2),
    "rough": ((0.52, 0.30, 0.22), 0.07, 1.0),
    "bright": ((0.85, 0.52, 0.38), 0.008, 6.0),
    "hazy": ((0.78, 0.56, 0.46), 0.015, 2.5),
    "dull": ((0.68, 0.42, 0.34), 0.035, 1.0),
    "bare": ((0.70, 0.68, 0.60), 0.012, 4.0),
}
"""Colour, contrast of the texture and its grain [pixels], by look."""


@dataclass(frozen=True, kw_only=True)
class Photo:
    """A picture, where its corners were clicked, and the true boundaries and looks."""

    picture: Floats
    corners: Floats
    boundaries: tuple[float, ...]
    looks: tuple[str, ...]


def photo(seed: int) -> Photo:
    """A photo of its own for each seed."""
    chance = np.random.default_rng(seed)
    boundaries, looks = _zones(chance)
    panel = _panel(chance, boundaries, looks)
    truth = _corners(chance)
    picture = _photographed(chance, panel, truth)
    clicked = truth + chance.normal(0.0, 1.4, size=(4, 2))
    return Photo(picture=picture, corners=clicked, boundaries=boundaries, looks=looks)


def _zones(chance: np.random.Generator) -> tuple[tuple[float, ...], tuple[str, ...]]:
    high = chance.choice(["burnt", "rough"])
    chains = [
        (high, "bright", "dull"),
        (high, "bright"),
        ("bright", "dull"),
        ("bright", "hazy"),
        (high, "hazy", "bright", "dull"),
        (high, "dull"),
        (high, "bright", "bare"),
        (high, "dull", "bare"),
        ("dull",),
    ]
    looks = chains[int(chance.integers(len(chains)))]
    while True:
        ends = np.sort(chance.uniform(0.07, 0.93, len(looks) - 1))
        if (np.diff(np.concatenate([[0.0], ends, [1.0]])) > 0.07).all():
            return tuple(float(end) for end in ends), looks


def _panel(
    chance: np.random.Generator, boundaries: tuple[float, ...], looks: tuple[str, ...]
) -> Floats:
    x = (np.arange(WIDTH) + 0.5) / WIDTH
    across = (np.arange(HEIGHT) + 0.5) / HEIGHT
    weights = np.zeros((len(looks), HEIGHT, WIDTH))
    edges = [np.full(HEIGHT, -1.0)]
    widths = [1e-6]
    for end in boundaries:
        bow = chance.uniform(-0.004, 0.004)
        wave = chance.uniform(0, 0.002) * np.sin(2 * np.pi * (3 * across + chance.uniform()))
        edges.append(end + bow * (4 * (across - 0.5) ** 2 - 1 / 3) + wave)
        widths.append(chance.uniform(0.001, 0.006))
    edges.append(np.full(HEIGHT, 2.0))
    widths.append(1e-6)
    for k in range(len(looks)):
        up = 1 / (1 + np.exp(-np.clip((x - edges[k][:, None]) / widths[k], -60, 60)))
        down = 1 / (1 + np.exp(-np.clip((edges[k + 1][:, None] - x) / widths[k + 1], -60, 60)))
        weights[k] = up * down
    panel = np.zeros((HEIGHT, WIDTH, 3))
    for weight, look in zip(weights, looks, strict=True):
        colour, contrast, grain = LOOKS[look]
        texture = gaussian_filter(chance.normal(size=(HEIGHT, WIDTH)), grain)
        texture *= contrast / texture.std()
        slope = 1 + chance.uniform(-0.12, 0.12) * (x - 0.5)
        shade = slope * (1 + texture)
        panel += weight[:, :, None] * np.array(colour) * shade[:, :, None]
    light = 1 + chance.uniform(-0.2, 0.2) * (x - 0.5)[None, :]
    light = light + chance.uniform(-0.2, 0.2) * (across - 0.5)[:, None]
    panel = panel * light[:, :, None]
    panel += _glare(chance, x, across)[:, :, None]
    for _ in range(int(chance.integers(0, 4))):
        row = int(chance.integers(HEIGHT))
        panel[row : row + 2] *= 0.7
    return np.clip(panel, 0.0, 1.0)


def _glare(chance: np.random.Generator, x: Floats, across: Floats) -> Floats:
    """A bright patch that covers up to a third of the height."""
    found = np.zeros((HEIGHT, WIDTH))
    for _ in range(int(chance.integers(0, 3))):
        at, high = chance.uniform(0.1, 0.9, size=2)
        wide, tall = chance.uniform(0.03, 0.15), chance.uniform(0.03, 0.12)
        there = ((x[None, :] - at) / wide) ** 2 + ((across[:, None] - high) / tall) ** 2
        found += chance.uniform(0.3, 0.8) * np.exp(-there)
    return found


ROWS, COLUMNS = 420, 560


def _corners(chance: np.random.Generator) -> Floats:
    """Of the panel in the photo: turned, seen askew."""
    base = np.array([[90, 90], [470, 90], [470, 330], [90, 330]], float)
    centre = base.mean(axis=0)
    turn = chance.uniform(-0.2, 0.2)
    about = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    found: Floats = (base - centre) @ about.T * chance.uniform(0.85, 1.05) + centre
    return found + chance.uniform(-22, 22, size=(4, 2))


def _photographed(chance: np.random.Generator, panel: Floats, corners: Floats) -> Floats:
    back = _projective(corners, np.array([[0, 0], [WIDTH, 0], [WIDTH, HEIGHT], [0, HEIGHT]]) - 0.5)
    rows, columns = np.mgrid[0:ROWS, 0:COLUMNS].astype(float)
    there = np.stack([columns, rows, np.ones_like(rows)], axis=-1) @ back.T
    u, v = there[..., 0] / there[..., 2], there[..., 1] / there[..., 2]
    picture = np.stack(
        [map_coordinates(panel[:, :, k], [v, u], order=1, mode="nearest") for k in range(3)],
        axis=-1,
    )
    inside = (u > -0.5) & (u < WIDTH - 0.5) & (v > -0.5) & (v < HEIGHT - 0.5)
    bench = np.array([0.35, 0.37, 0.4]) * (1 + 0.1 * chance.normal(size=(ROWS, COLUMNS, 1)))
    picture = np.where(inside[:, :, None], picture, bench)
    picture = gaussian_filter(picture, (0.6, 0.6, 0))
    picture = picture + chance.uniform(0.004, 0.02) * chance.normal(size=picture.shape)
    return np.round(np.clip(picture, 0.0, 1.0) * 255) / 255


def _projective(source: Floats, target: Floats) -> Floats:
    """The map of four points onto four others, by its eight equations: our own second way."""
    rows = []
    for (x, y), (u, v) in zip(source, target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    found = np.linalg.solve(np.array(rows), target.ravel())
    return np.append(found, 1.0).reshape(3, 3)
