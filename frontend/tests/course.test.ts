import { describe, expect, it } from "vitest";
import { coveredAt, jointScale, lasting, marksAt, momentAt, valuesAt } from "../src/course";
import type { Body, Quantity, View } from "../src/view-pack";

const body: Body = {
  name: "part 1",
  role: "part",
  // Two triangles, the second of three times the area.
  vertices: new Float32Array([0, 0, 0, 1, 0, 0, 0, 1, 0, 3, 0, 0, 0, 1, 0, 0, 0, 0]),
  triangles: new Uint32Array([0, 1, 2, 3, 4, 5]),
  values: {
    thickness: new Float32Array([100, 4]),
    fraction_of_limit: new Float32Array([0.5, 0.1]),
  },
  burning: new Uint32Array(0),
  bare: new Uint32Array(0),
};

const steady: View = {
  bodies: [body],
  quantities: [],
  colours: [],
  course: { times_s: [0, 1800, 7200], steady: true },
  bare_below: 1.5,
  burning_from: 0.95,
};

const changing: View = {
  ...steady,
  course: { times_s: [0, 60, 7200], steady: false },
  bodies: [
    {
      ...body,
      course: {
        thickness: { numbers: new Uint16Array([0, 0, 50, 0, 1000, 40]), low: 0, step: 0.1 },
        fraction_of_limit: { numbers: new Uint16Array([96, 0, 50, 20, 50, 10]), low: 0, step: 0.01 },
      },
    },
  ],
};

describe("a steady course", () => {
  it("grows copper evenly in time, and nothing else", () => {
    expect([...(valuesAt(steady, body, "thickness", 1) ?? [])]).toEqual([25, 1]);
    expect([...(valuesAt(steady, body, "thickness", 2) ?? [])]).toEqual([100, 4]);
    expect(valuesAt(steady, body, "fraction_of_limit", 0)).toBe(body.values["fraction_of_limit"]);
    expect(valuesAt(steady, body, "nothing", 0)).toBeUndefined();
  });

  it("marks what copper does not cover yet, by area", () => {
    expect([...marksAt(steady, body, 1).bare]).toEqual([1]);
    expect(coveredAt(steady, 0)).toBe(0);
    expect(coveredAt(steady, 1)).toBeCloseTo(0.25);
    expect(coveredAt(steady, 2)).toBe(1);
  });
});

describe("a changing course", () => {
  const [part] = changing.bodies as [Body];

  it("has its values by moment", () => {
    expect([...(valuesAt(changing, part, "thickness", 1) ?? [])]).toEqual([5, 0]);
    expect([...marksAt(changing, part, 0).burning]).toEqual([0]);
    expect([...marksAt(changing, part, 1).burning]).toEqual([]);
  });

  it("ends with the plan itself", () => {
    expect(valuesAt(changing, part, "thickness", 2)).toBe(part.values["thickness"]);
  });

  it("finds the moment nearest to a share of the time", () => {
    expect(momentAt(changing, 0)).toBe(0);
    expect(momentAt(changing, 0.3)).toBe(1);
    expect(momentAt(changing, 0.9)).toBe(2);
  });
});

it("tells times as people do", () => {
  expect(lasting(45)).toBe("45 s");
  expect(lasting(720)).toBe("12 min");
  expect(lasting(19_260)).toBe("5 h 21 min");
});

it("makes one scale of two", () => {
  const place = { value: 0, at_m: [0, 0, 0] as [number, number, number] };
  const one: Quantity = {
    key: "thickness", words: "Thickness", unit: "um", shown_unit: "µm", low: 20, high: 60,
    ticks: [20, 40, 60], values_above_high: false, least: place, greatest: { ...place, value: 60 },
  };
  const other = { ...one, low: 0, high: 150, ticks: [0, 50, 100, 150], greatest: { ...place, value: 150 } };
  for (const joint of [jointScale(one, [other]), jointScale(other, [one])]) {
    expect([joint.low, joint.high]).toEqual([0, 150]);
    expect(joint.ticks).toEqual([0, 50, 100, 150]);
    expect(joint.values_above_high).toBe(false);
  }
});
