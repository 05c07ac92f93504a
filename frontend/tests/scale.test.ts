import { describe, expect, it } from "vitest";
import { colourTable, parsed, rounded, share, ticksFor, told } from "../src/scale";

describe("colours", () => {
  it("are read from their six digits", () => {
    expect(parsed("#ff0080")).toEqual([1, 0, 128 / 255]);
  });

  it("keep the ends and pass through every stop", () => {
    const table = colourTable(["#000000", "#ff0000", "#ffffff"], 257);
    expect([...table.slice(0, 4)]).toEqual([0, 0, 0, 255]);
    expect([...table.slice(4 * 128, 4 * 128 + 4)]).toEqual([255, 0, 0, 255]);
    expect([...table.slice(4 * 256)]).toEqual([255, 255, 255, 255]);
  });

  it("never step back where the stops do not", () => {
    const table = colourTable(["#101010", "#808080", "#f0f0f0"], 256);
    const reds = Array.from({ length: 256 }, (_, k) => table[4 * k] as number);
    expect(reds).toEqual([...reds].sort((a, b) => a - b));
  });
});

describe("shares", () => {
  it("stop at the ends", () => {
    expect([-1, 40, 100, 160, 999].map((value) => share(value, 40, 160))).toEqual([0, 0, 0.5, 1, 1]);
  });
});

describe("numbers", () => {
  it.each([
    [118.4321, "118"],
    [0.06, "0.06"],
    [1234567, "1230000"],
    [0, "0"],
    [-20, "\u221220"],
    [Number.NaN, "–"],
  ])("%s reads %s", (value, text) => {
    expect(rounded(value)).toBe(text);
  });

  it("carry their unit, if there is one", () => {
    expect([told(2.5, "A/dm²"), told(0.5, "")]).toEqual(["2.5 A/dm²", "0.5"]);
  });
});

describe("figures for a reader", () => {
  it("are in US units where wished: 25.4 µm are a mil, and ten A/ft² are 1.076 A/dm²", () => {
    const us = { us: true, comma: false };
    expect(told(25.4, "µm", us)).toBe("1 mil");
    expect(told(1.0764, "A/dm²", us)).toBe("10 A/ft²");
    expect(told(0.5, "", us)).toBe("0.5");
  });

  it("have the reader's decimal mark", () => {
    expect(told(1.25, "µm", { us: false, comma: true })).toBe("1,25 µm");
  });

  it("have round marks in the reader's own unit", () => {
    const scale = { low: 40, high: 160, ticks: [40, 80, 120, 160], shown_unit: "µm" };
    expect(ticksFor(scale, { us: false, comma: false })).toEqual([40, 80, 120, 160]);
    const us = ticksFor(scale, { us: true, comma: false }).map((tick) => tick / 25.4);
    expect(us.map((tick) => Number(tick.toFixed(9)))).toEqual([2, 3, 4, 5, 6]);
  });
});
