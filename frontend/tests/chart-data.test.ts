import { describe, expect, it } from "vitest";
import { type Chart, columnsOf, lastInWords } from "../src/chart-data";
import { Words } from "../src/words";

const chart: Chart = {
  time_h: [0, 1.5],
  voltage_V: [0.4, 0.3],
  current_A: [2, 2],
  expected_voltage_V: [0.35, 0.31],
  charge_Ah: [0, 3],
};

describe("a run's chart", () => {
  it("has one column a curve", () => {
    expect(columnsOf(chart)).toEqual([chart.time_h, [0.4, 0.3], [0.35, 0.31], [2, 2]]);
  });

  it("goes on with what is to come, of which nothing is measured", () => {
    const come = { time_h: [0, 2], expected_voltage_V: [0.31, 0.3] };
    expect(columnsOf({ ...chart, to_come: come })).toEqual([
      [0, 1.5, 1.5, 3.5],
      [0.4, 0.3, null, null],
      [0.35, 0.31, 0.31, 0.3],
      [2, 2, null, null],
    ]);
  });

  it("refuses columns that do not fit", () => {
    expect(() => columnsOf({ ...chart, current_A: [2] })).toThrow("do not fit");
  });

  it("is told in words", () => {
    expect(lastInWords(chart)).toBe("After 1.50 h: 0.3 V (0.31 V expected), 2 A, 3 Ah.");
    const none = { time_h: [], voltage_V: [], current_A: [], expected_voltage_V: [], charge_Ah: [] };
    expect(lastInWords(none)).toBe("No sample yet.");
    const words = new Words({ "No sample yet.": "Noch keine Messung." });
    expect(lastInWords(none, words)).toBe("Noch keine Messung.");
    expect(lastInWords(chart, words, { us: false, comma: true })).toContain("0,31 V");
  });
});
