import { describe, expect, it } from "vitest";
import { seenFrom } from "../src/seeing";
import type { Body } from "../src/view-pack";

/** Squares of four corners each, as a body. */
function body(...squares: number[][][]): Body {
  const vertices = squares.flat(2);
  const triangles = squares.flatMap((_, n) => [0, 1, 2, 0, 2, 3].map((k) => 4 * n + k));
  return {
    name: "part 1",
    role: "part",
    vertices: new Float32Array(vertices),
    triangles: new Uint32Array(triangles),
    values: {},
    burning: new Uint32Array(0),
    bare: new Uint32Array(0),
  };
}

const floor = [[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]];

function wall(x: number, top: number): number[][] {
  return [[x, -1, 0], [x, 1, 0], [x, 1, top], [x, -1, top]];
}

describe("a place", () => {
  it("that is open is seen from nearly straight above it", () => {
    const way = seenFrom([body(floor)], [0, 0, 0], [0, 0, 1], 1);
    expect(way?.[2]).toBeGreaterThan(0.95);
  });

  it("on the wall of a well is seen over the other wall", () => {
    const well = body(floor, wall(-0.2, 1), wall(0.2, 1));
    const way = seenFrom([well], [-0.2, 0, 0.8], [1, 0, 0], 1) as readonly number[];
    expect(way).not.toBeNull();
    // Over the far wall's edge: 0.2 up in 0.4 across; or out along the well's open ends.
    expect((way[2] as number) > 0.2 / 0.4 * (way[0] as number) - 1e-6 || Math.abs(way[1] as number) > 2.4 * (way[0] as number)).toBe(true);
  });

  it("inside a closed box is seen from nowhere", () => {
    const lid = floor.map(([x, y]) => [x as number, y as number, 1]);
    const ends = [-1, 1].map((y) => [[-1, y, 0], [1, y, 0], [1, y, 1], [-1, y, 1]]);
    const box = body(floor, lid, wall(-1, 1), wall(1, 1), ...ends);
    expect(seenFrom([box], [0.3, 0.2, 0], [0, 0, 1], 1)).toBeNull();
  });
});
