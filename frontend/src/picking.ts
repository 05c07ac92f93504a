// Which triangle a ray meets first: every triangle is tried. At a hundred thousand that takes about
// a millisecond, so that no search tree is needed.

export type Vector = readonly [number, number, number];

export interface Hit {
  /** Number of the triangle. */
  triangle: number;
  /** Along the ray, in lengths of its direction. */
  distance: number;
}

/** The nearest triangle in front of the ray's origin, or null. `keeps` may leave triangles out. */
export function hit(
  vertices: Float32Array,
  triangles: Uint32Array,
  origin: Vector,
  direction: Vector,
  keeps: (x: number, y: number, z: number) => boolean = () => true,
): Hit | null {
  const [ox, oy, oz] = origin;
  const [dx, dy, dz] = direction;
  let best = Infinity;
  let found = -1;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * (triangles[t] as number);
    const b = 3 * (triangles[t + 1] as number);
    const c = 3 * (triangles[t + 2] as number);
    const ax = vertices[a] as number, ay = vertices[a + 1] as number, az = vertices[a + 2] as number;
    const ux = (vertices[b] as number) - ax, uy = (vertices[b + 1] as number) - ay, uz = (vertices[b + 2] as number) - az;
    const vx = (vertices[c] as number) - ax, vy = (vertices[c + 1] as number) - ay, vz = (vertices[c + 2] as number) - az;
    const px = dy * vz - dz * vy, py = dz * vx - dx * vz, pz = dx * vy - dy * vx;
    const determinant = ux * px + uy * py + uz * pz;
    if (determinant === 0) continue;
    const sx = ox - ax, sy = oy - ay, sz = oz - az;
    const first = (sx * px + sy * py + sz * pz) / determinant;
    if (first < 0 || first > 1) continue;
    const qx = sy * uz - sz * uy, qy = sz * ux - sx * uz, qz = sx * uy - sy * ux;
    const second = (dx * qx + dy * qy + dz * qz) / determinant;
    if (second < 0 || first + second > 1) continue;
    const distance = (vx * qx + vy * qy + vz * qz) / determinant;
    if (distance <= 0 || distance >= best) continue;
    if (!keeps(ox + distance * dx, oy + distance * dy, oz + distance * dz)) continue;
    best = distance;
    found = t / 3;
  }
  return found < 0 ? null : { triangle: found, distance: best };
}
