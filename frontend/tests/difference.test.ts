import { describe, expect, it } from "vitest";
import { counterpart, differenceOf, sameSurface } from "../src/difference";
import type { Body, Quantity, View } from "../src/view-pack";

const thickness: Quantity = {
  key: "thickness",
  words: "Thickness",
  unit: "um",
  shown_unit: "µm",
  low: 0,
  high: 150,
  ticks: [0, 150],
  values_above_high: false,
  least: { value: 0, at_m: [0, 0, 0] },
  greatest: { value: 0, at_m: [0, 0, 0] },
};

/** Two triangles with a thickness each, moved by so much. */
function view(values: number[], moved = 0, more: Partial<Body> = {}): View {
  const corners = [0, 0, 0, 1, 0, 0, 0, 1, 0, 3, 3, 0, 3, 4, 0, 4, 3, 0];
  const body: Body = {
    name: "part 1",
    role: "part",
    vertices: new Float32Array(corners.map((value) => value + moved)),
    triangles: new Uint32Array([0, 1, 2, 3, 4, 5]),
    values: { thickness: new Float32Array(values) },
    burning: new Uint32Array([1]),
    bare: new Uint32Array(0),
    ...more,
  };
  return { bodies: [body], quantities: [thickness], colours: [] };
}

describe("the difference of two plans", () => {
  it("is the second less the first, at the places of the first", () => {
    const found = differenceOf(view([100, 120]), view([90, 150], 5)) as View;
    expect([...(found.bodies[0]?.values["thickness"] ?? [])]).toEqual([-10, 30]);
    const [legend] = found.quantities;
    expect(legend?.least.value).toBe(-10);
    expect(legend?.greatest.value).toBe(30);
    expect(legend?.greatest.at_m[0]).toBeCloseTo(10 / 3);
    expect(legend?.low).toBe(-(legend?.high ?? 0));
    expect(legend?.signed).toBe(true);
    expect(found.bodies[0]?.burning.length).toBe(0);
  });

  it("needs the same triangles with the same edges", () => {
    expect(sameSurface(view([1, 2]), view([3, 4], 0.7))).toBe(true);
    const other = { triangles: new Uint32Array([0, 2, 1, 3, 4, 5]) };
    expect(differenceOf(view([1, 2]), view([1, 2], 0, other))).toBeNull();
    const stretched = { vertices: view([1, 2]).bodies[0]?.vertices.map((x) => 1.01 * x) as Float32Array };
    expect(differenceOf(view([1, 2]), view([1, 2], 0, stretched))).toBeNull();
  });

  it("tells two equal plans as nothing everywhere", () => {
    const found = differenceOf(view([100, 120]), view([100, 120])) as View;
    expect(found.quantities[0]?.least.value).toBe(0);
    expect(found.quantities[0]?.high).toBeGreaterThan(0);
  });
});

describe("the counterpart of a place", () => {
  it("has the same number on the same surface, and is the nearest on another", () => {
    expect(counterpart(view([1, 2]), "part 1", 1, 6, [0, 0, 0])?.triangle).toBe(1);
    expect(counterpart(view([1, 2]), "part 1", 7, 99, [3, 3.5, 0])?.triangle).toBe(1);
    expect(counterpart(view([1, 2]), "part 2", 0, 6, [0, 0, 0])).toBeNull();
  });
});
