"""Points and vectors of space as three floats, for the compiled kernels of the remesher.

Tuples instead of small arrays: they compile sooner, live in registers and cannot be shared by
mistake.
"""

from math import sqrt

from tankside.base.arrays import Floats
from tankside.part.remesh_kernels import inner

Vector = tuple[float, float, float]


@inner
def row(points: Floats, k: int) -> Vector:
    """Row k of an array (n, 3)."""
    return points[k, 0], points[k, 1], points[k, 2]


@inner
def minus(a: Vector, b: Vector) -> Vector:
    """a - b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@inner
def along(a: Vector, direction: Vector, length: float) -> Vector:
    """a + length * direction."""
    return (
        a[0] + length * direction[0],
        a[1] + length * direction[1],
        a[2] + length * direction[2],
    )


@inner
def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@inner
def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


@inner
def length(a: Vector) -> float:
    """Euclidean length."""
    return sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


@inner
def distance(a: Vector, b: Vector) -> float:
    """Distance of two points."""
    return length(minus(a, b))


@inner
def middle(a: Vector, b: Vector) -> Vector:
    """Halfway between two points."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2


@inner
def centre(a: Vector, b: Vector, c: Vector) -> Vector:
    """Centroid of a triangle."""
    return (a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3


@inner
def area_vector(a: Vector, b: Vector, c: Vector) -> Vector:
    """Twice the area of a triangle along its normal."""
    return cross(minus(b, a), minus(c, a))


@inner
def unit(a: Vector) -> Vector:
    """a over its length; nought stays nought."""
    size = length(a)
    if size > 0.0:
        return a[0] / size, a[1] / size, a[2] / size
    return 0.0, 0.0, 0.0


@inner
def sine_of_smallest_angle(a: Vector, b: Vector, c: Vector) -> float:
    """Sine of a triangle's smallest angle: twice its area over its two longer sides, at most
    sqrt(3)/2 (the smallest angle never exceeds 60 degrees)."""
    p = distance(a, b)
    q = distance(b, c)
    r = distance(c, a)
    longer = p * q * r / max(min(p, q, r), 1e-300)
    return length(area_vector(a, b, c)) / max(longer, 1e-300)
