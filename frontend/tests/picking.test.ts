import { describe, expect, it } from "vitest";
import { hit } from "../src/picking";

// Two squares of two triangles each, one unit wide, at heights 0 and 1.
const vertices = new Float32Array([0, 1].flatMap((z) => [0, 0, z, 1, 0, z, 1, 1, z, 0, 1, z]));
const triangles = new Uint32Array([0, 1, 2, 0, 2, 3, 4, 5, 6, 4, 6, 7]);
const down = [0, 0, -1] as const;

describe("a ray", () => {
  it("meets the nearest triangle, from either side", () => {
    expect(hit(vertices, triangles, [0.7, 0.2, 5], down)).toEqual({ triangle: 2, distance: 4 });
    expect(hit(vertices, triangles, [0.7, 0.2, -5], [0, 0, 1])).toEqual({ triangle: 0, distance: 5 });
  });

  it("tells the two halves of a square apart", () => {
    expect(hit(vertices, triangles, [0.2, 0.7, 5], down)?.triangle).toBe(3);
  });

  it("meets nothing behind it, beside it, or along it", () => {
    expect(hit(vertices, triangles, [0.5, 0.4, -1], down)).toBeNull();
    expect(hit(vertices, triangles, [1.5, 0.4, 5], down)).toBeNull();
    expect(hit(vertices, triangles, [-1, 0.5, 0], [1, 0, 0])).toBeNull();
  });

  it("counts distance in lengths of its direction", () => {
    expect(hit(vertices, triangles, [0.7, 0.2, 5], [0, 0, -2])?.distance).toBe(2);
  });

  it("passes what is cut away", () => {
    const below = (_x: number, _y: number, z: number): boolean => z < 0.5;
    expect(hit(vertices, triangles, [0.7, 0.2, 5], down, below)?.triangle).toBe(0);
  });

  it("agrees with a plain search over many triangles", () => {
    let seed = 7;
    const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
    const cloud = new Float32Array(9 * 300).map(() => random());
    const numbers = new Uint32Array(900).map((_, k) => k);
    for (let ray = 0; ray < 20; ray += 1) {
      const origin = [random(), random(), 3] as const;
      const all = Array.from({ length: 300 }, (_, t) =>
        hit(cloud, numbers.subarray(3 * t, 3 * t + 3), origin, down)?.distance ?? Infinity,
      );
      const best = hit(cloud, numbers, origin, down);
      expect(best?.distance ?? Infinity).toBe(Math.min(...all));
      if (best !== null) expect(all.indexOf(best.distance)).toBe(best.triangle);
    }
  });
});
