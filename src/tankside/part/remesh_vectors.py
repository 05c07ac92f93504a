"""Points and vectors of space as three floats, for the compiled kernels of the remesher.

Tuples instead of small arrays: they compile sooner, live in registers and cannot be shared by
mistake.
"""

from math import sqrt

from numba import njit

from tankside.base.arrays import Floats

Vector = tuple[float, float, float]


@njit(cache=True)
def row(points: Floats, k: int) -> Vector:
    """Row k of an array (n, 3)."""
    return points[k, 0], points[k, 1], points[k, 2]


@njit(cache=True)
def minus(a: Vector, b: Vector) -> Vector:
    """a - b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@njit(cache=True)
def along(a: Vector, direction: Vector, length: float) -> Vector:
    """a + length * direction."""
    return (
        a[0] + length * direction[0],
        a[1] + length * direction[1],
        a[2] + length * direction[2],
    )


@njit(cache=True)
def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@njit(cache=True)
def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


@njit(cache=True)
def length(a: Vector) -> float:
    """Euclidean length."""
    return sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


@njit(cache=True)
def distance(a: Vector, b: Vector) -> float:
    """Distance of two points."""
    return length(minus(a, b))


@njit(cache=True)
def middle(a: Vector, b: Vector) -> Vector:
    """Halfway between two points."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2


@njit(cache=True)
def centre(a: Vector, b: Vector, c: Vector) -> Vector:
    """Centroid of a triangle."""
    return (a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3


@njit(cache=True)
def area_vector(a: Vector, b: Vector, c: Vector) -> Vector:
    """Twice the area of a triangle along its normal."""
    return cross(minus(b, a), minus(c, a))


@njit(cache=True)
def unit(a: Vector) -> Vector:
    """a over its length; nought stays nought."""
    size = length(a)
    if size > 0.0:
        return a[0] / size, a[1] / size, a[2] / size
    return 0.0, 0.0, 0.0


@njit(cache=True)
def sine_of_smallest_angle(a: Vector, b: Vector, c: Vector) -> float:
    """Sine of a triangle's smallest angle: twice its area over its two longer sides, at most
    sqrt(3)/2 (the smallest angle never exceeds 60 degrees)."""
    p = distance(a, b)
    q = distance(b, c)
    r = distance(c, a)
    longer = p * q * r / max(min(p, q, r), 1e-300)
    return length(area_vector(a, b, c)) / max(longer, 1e-300)
