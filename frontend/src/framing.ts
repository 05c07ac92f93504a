// Where the camera has to stand so that all of something is in the picture.

export type Box = { low: [number, number, number]; high: [number, number, number] };

/** The box of all corners [m] of the given vertex lists. */
export function boxOf(lists: readonly Float32Array[]): Box {
  const low: Box["low"] = [Infinity, Infinity, Infinity];
  const high: Box["high"] = [-Infinity, -Infinity, -Infinity];
  for (const vertices of lists) {
    for (let i = 0; i < vertices.length; i += 1) {
      const k = i % 3;
      const value = vertices[i] as number;
      if (value < (low[k] as number)) low[k] = value;
      if (value > (high[k] as number)) high[k] = value;
    }
  }
  return { low, high };
}

/** Half the length of the box's diagonal: the radius of a ball round it. */
export function radiusOf(box: Box): number {
  const [x, y, z] = box.high.map((top, k) => top - (box.low[k] as number)) as [number, number, number];
  return Math.hypot(x, y, z) / 2;
}

/** Whether a place lies in the box or on its edge. */
export function holds(box: Box, place: readonly number[]): boolean {
  const near = 1e-3 * radiusOf(box);
  return place.every((value, k) => value >= (box.low[k] as number) - near && value <= (box.high[k] as number) + near);
}

/** The middle of the box. */
export function middleOf(box: Box): [number, number, number] {
  return box.high.map((top, k) => (top + (box.low[k] as number)) / 2) as [number, number, number];
}

/**
 * Distance from which a ball is wholly in the picture.
 * @param radius of the ball
 * @param upright the upright angle of view [degrees]
 * @param aspect width over height of the picture
 */
export function distanceFor(radius: number, upright: number, aspect: number): number {
  const half = (upright * Math.PI) / 360;
  const sideways = Math.atan(Math.tan(half) * aspect);
  return radius / Math.sin(Math.min(half, sideways));
}

/** The normal of the triangle whose middle is nearest to a place. */
export function normalNear(
  vertices: Float32Array,
  triangles: Uint32Array,
  place: readonly [number, number, number],
): [number, number, number] {
  let best = Infinity;
  let at = 0;
  const corner = (t: number, k: number): number => 3 * (triangles[t + k] as number);
  for (let t = 0; t < triangles.length; t += 3) {
    let away = 0;
    for (let axis = 0; axis < 3; axis += 1) {
      const sum =
        (vertices[corner(t, 0) + axis] as number) +
        (vertices[corner(t, 1) + axis] as number) +
        (vertices[corner(t, 2) + axis] as number);
      away += (sum / 3 - (place[axis] as number)) ** 2;
    }
    if (away < best) {
      best = away;
      at = t;
    }
  }
  const edge = (k: number, axis: number): number =>
    (vertices[corner(at, k) + axis] as number) - (vertices[corner(at, 0) + axis] as number);
  const normal: [number, number, number] = [
    edge(1, 1) * edge(2, 2) - edge(1, 2) * edge(2, 1),
    edge(1, 2) * edge(2, 0) - edge(1, 0) * edge(2, 2),
    edge(1, 0) * edge(2, 1) - edge(1, 1) * edge(2, 0),
  ];
  const length = Math.hypot(...normal) || 1;
  return normal.map((value) => value / length) as [number, number, number];
}
