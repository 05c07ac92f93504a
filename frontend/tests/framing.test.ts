import { describe, expect, it } from "vitest";
import { boxOf, distanceFor, middleOf, normalNear, radiusOf } from "../src/framing";

describe("a box", () => {
  const box = boxOf([new Float32Array([0, 0, 0, 2, 1, 0]), new Float32Array([-1, 0, 2])]);

  it("holds all corners of all lists", () => {
    expect(box).toEqual({ low: [-1, 0, 0], high: [2, 1, 2] });
  });

  it("has a middle and a ball round it", () => {
    expect(middleOf(box)).toEqual([0.5, 0.5, 1]);
    expect(radiusOf(box)).toBeCloseTo(Math.sqrt(14) / 2, 12);
  });
});

describe("the camera", () => {
  it("sees a ball whole in upright and in wide pictures", () => {
    const halfAngle = (aspect: number): number => Math.asin(1 / distanceFor(1, 40, aspect));
    expect(halfAngle(1.6)).toBeCloseTo((20 * Math.PI) / 180, 12);
    expect(Math.tan(halfAngle(0.5))).toBeCloseTo(0.5 * Math.tan((20 * Math.PI) / 180), 12);
  });
});

describe("the normal near a place", () => {
  it("is the one of the nearest triangle, pointing out", () => {
    const vertices = new Float32Array([0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 9, 0, 1, 9, 0, 0, 10]);
    const triangles = new Uint32Array([0, 1, 2, 3, 4, 5]);
    expect(normalNear(vertices, triangles, [0.3, 0.3, 1])).toEqual([0, 0, 1]);
    expect(normalNear(vertices, triangles, [0, 0.3, 8])).toEqual([1, 0, 0]);
  });
});
