import { describe, expect, it } from "vitest";
import { marksAt, valuesAt } from "../src/course";
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

describe("the difference over the time", () => {
  const course = (times_s: number[], uneven = false): Partial<View> => ({ course: { times_s, steady: !uneven } });
  const at = (found: View, moment: number): number[] => [...(valuesAt(found, found.bodies[0] as Body, "thickness", moment) ?? [])];

  it("is taken at the same share of both plans' times, between their own moments too", () => {
    const first = { ...view([100, 120]), ...course([0, 1000]) };
    const numbers = new Uint16Array([0, 0, 10, 30, 50, 60, 90, 150]);
    const uneven = view([90, 150], 5, { course: { thickness: { numbers, low: 0, step: 1 } } });
    const second = { ...uneven, ...course([0, 500, 1000, 2000], true) };
    const found = differenceOf(first, second) as View;
    expect(found.course?.times_s).toEqual([0, 500, 1000, 2000]);
    expect(found.course?.first_s).toEqual([0, 250, 500, 1000]);
    expect(at(found, 1)).toEqual([10 - 25, 30 - 30]);
    expect(at(found, 2)).toEqual([50 - 50, 60 - 60]);
    expect(at(found, 3)).toEqual([-10, 30]);
    const back = differenceOf(second, first) as View;
    expect(back.course?.times_s).toEqual([0, 250, 500, 1000]);
    expect(at(back, 1)).toEqual([15, 0]);
  });

  it("is never marked as bare or burning", () => {
    const one = { ...view([100, 120]), ...course([0, 1000, 2000]), bare_below: 1.5 };
    const found = differenceOf(one, { ...view([10, 12]), ...course([0, 1000, 2000]) }) as View;
    expect(at(found, 1)).toEqual([-45, -54]);
    expect(marksAt(found, found.bodies[0] as Body, 1)).toEqual({ burning: [], bare: [] });
  });

  it("has no time where a plan was kept without one", () => {
    expect(differenceOf(view([1, 2]), { ...view([2, 3]), ...course([0, 10]) })?.course).toBeUndefined();
  });
});

describe("the counterpart of a place", () => {
  it("has the same number on the same surface, and is the nearest on another", () => {
    expect(counterpart(view([1, 2]), "part 1", 1, 6, [0, 0, 0])?.triangle).toBe(1);
    expect(counterpart(view([1, 2]), "part 1", 7, 99, [3, 3.5, 0])?.triangle).toBe(1);
    expect(counterpart(view([1, 2]), "part 2", 0, 6, [0, 0, 0])).toBeNull();
  });
});
