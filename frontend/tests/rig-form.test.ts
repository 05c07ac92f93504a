import { describe, expect, it } from "vitest";
import { fieldLength, onLevel, onPart, placeKeys, stepOf, thingOf, toWrite } from "../src/rig-form";

describe("the rig's form", () => {
  it("writes lengths in millimetres, without a minus before nothing", () => {
    expect(fieldLength(0.1234567)).toBe("123.46 mm");
    expect(fieldLength(-1e-9)).toBe("0 mm");
  });

  it("writes lengths in inches for who reads those", () => {
    expect(fieldLength(0.0254, true)).toBe("1 in");
    expect(fieldLength(-0.13, true)).toBe("-5.118 in");
  });

  it("finds the fields of a thing's place, whatever they are called", () => {
    const names = new Set([0, 1, 2].flatMap((k) => [`part.0.middle.${k}`, `contact.1.near.${k}`]));
    const has = (name: string): boolean => names.has(name);
    expect(placeKeys("part.0", has)).toEqual(["part.0.middle.0", "part.0.middle.1", "part.0.middle.2"]);
    expect(placeKeys("contact.1", has)?.[2]).toBe("contact.1.near.2");
    expect(placeKeys("anode.0", has)).toBeNull();
  });

  it("knows which thing a field is of", () => {
    expect(thingOf("anode.12.at.1")).toBe("anode.12");
    expect(thingOf("tank.inside.0")).toBe("");
    expect(thingOf("anode.1")).toBe("");
  });

  it("moves by arrows along and across, by page keys up and down", () => {
    expect(stepOf("ArrowLeft", false)).toEqual([-0.005, 0, 0]);
    expect(stepOf("ArrowUp", true)).toEqual([0, 0.001, 0]);
    expect(stepOf("PageDown", false)).toEqual([0, 0, -0.005]);
    expect(stepOf("a", false)).toBeNull();
  });

  it("writes what follows, never over what was typed meanwhile", () => {
    const sent = { a: "1 cm", b: "2 cm", c: "3 cm" };
    const now = { a: "1 cm", b: "9 cm", c: "3 cm" };
    const answers = { a: "15 mm", b: "25 mm", c: "3 cm", d: "4 cm" };
    expect(toWrite(sent, now, answers)).toEqual({ a: "15 mm" });
  });

  it("takes a place of the tank onto a turned part", () => {
    const quarter = [[0, -1, 0], [1, 0, 0], [0, 0, 1]]; // a quarter turn about the upright
    const found = onPart([1, 3, 5], [1, 1, 5], quarter);
    [2, 0, 0].forEach((value, k) => expect(found[k]).toBeCloseTo(value, 12));
  });

  it("meets the level plane in front of the eye only", () => {
    expect(onLevel([0, 0, 2], [0.5, 0, -1], 0)).toEqual([1, 0, 0]);
    expect(onLevel([0, 0, 2], [0.5, 0, 1], 0)).toBeNull();
    expect(onLevel([0, 0, 2], [1, 0, 0], 0)).toBeNull();
  });
});
