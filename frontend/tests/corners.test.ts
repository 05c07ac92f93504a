import { describe, expect, it } from "vitest";
import { firstCorners, held, typed, typedPlace } from "../src/corners";

describe("corners of a panel", () => {
  it("begin inside the photo, round the panel from the high-current top", () => {
    expect(firstCorners(1000, 400).map(typed)).toEqual(["150,100", "850,100", "850,300", "150,300"]);
  });
  it("stay on the photo", () => {
    expect(held([-5, 900], 1000, 400)).toEqual([0, 399]);
  });
  it("are told as column, row; a place as three lengths", () => {
    expect(typed([12.6, 7.2])).toBe("13,7");
    expect(typedPlace([0.0123456, -0.002, 0])).toBe("12.35 mm; -2 mm; 0 mm");
  });
});
