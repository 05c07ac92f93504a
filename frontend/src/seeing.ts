// From where a place of a part can be seen: recesses hide what lies in them, so the way straight out
// of the surface is not always free.

import { hit, type Vector } from "./picking";
import type { Body } from "./view-pack";

const WAYS = 160;
/** How far a look begins above the place, against the surface that it lies on [radii of the part]. */
const ABOVE = 1e-3;
/** Flattest look at a surface [-]. */
const FLATTEST = 0.12;

/**
 * The direction from a place to where it is seen, as square to its surface as can be; null where it
 * is hidden from everywhere. `normal` points out of the part, `radius` is the part's [m].
 */
export function seenFrom(bodies: readonly Body[], place: Vector, normal: Vector, radius: number): Vector | null {
  const start = place.map((value, k) => value + ABOVE * radius * (normal[k] as number)) as unknown as Vector;
  const free = (way: Vector): boolean =>
    bodies.every(({ vertices, triangles }) => hit(vertices, triangles, start, way) === null);
  const ways = [normal, ...directions(WAYS)]
    .map((way) => ({ way, facing: dot(way, normal) }))
    .filter(({ facing, way }) => facing > FLATTEST && Math.abs(way[2]) < 0.995)
    .sort((a, b) => b.facing - a.facing);
  return ways.find(({ way }) => free(way))?.way ?? null;
}

function dot(one: Vector, other: Vector): number {
  return one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
}

/** Directions spread evenly over the ball, along a spiral. */
function directions(count: number): Vector[] {
  const golden = Math.PI * (3 - Math.sqrt(5));
  return Array.from({ length: count }, (_, n) => {
    const up = 1 - (2 * n + 1) / count;
    const out = Math.sqrt(1 - up * up);
    return [out * Math.cos(golden * n), out * Math.sin(golden * n), up] as const;
  });
}
