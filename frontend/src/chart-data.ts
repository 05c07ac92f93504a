// What a run's chart shows, from what the server sends.

import { marked, PLAIN_READER, type Reader } from "./scale";
import { Words } from "./words";

export interface Chart {
  time_h: number[];
  voltage_V: number[];
  current_A: number[];
  expected_voltage_V: number[];
  charge_Ah: number[];
  /** What the plan expects from the last sample on; hours from there. */
  to_come?: { time_h: number[]; expected_voltage_V: number[] };
}

type Gappy = (number | null)[];
export type Columns = [time: number[], volts: Gappy, expected: Gappy, amps: Gappy];

/** The columns as the chart takes them, those to come behind those measured, with nothing measured
 * there. Throws where they are not of one length. */
export function columnsOf(chart: Chart): Columns {
  const columns: Columns = [
    chart.time_h,
    chart.voltage_V,
    chart.expected_voltage_V,
    chart.current_A,
  ];
  if (new Set(columns.map(({ length }) => length)).size !== 1) {
    throw new Error("the samples of the chart do not fit each other");
  }
  const come = chart.to_come ?? { time_h: [], expected_voltage_V: [] };
  const from = chart.time_h.at(-1) ?? 0;
  const none = come.time_h.map(() => null);
  return [
    [...chart.time_h, ...come.time_h.map((hours) => from + hours)],
    [...chart.voltage_V, ...none],
    [...chart.expected_voltage_V, ...come.expected_voltage_V],
    [...chart.current_A, ...none],
  ];
}

/** The last sample in words, for who cannot see the curves. */
export function lastInWords(chart: Chart, words = new Words(), reader: Reader = PLAIN_READER): string {
  const last = chart.time_h.length - 1;
  if (last < 0) return words.say("No sample yet.");
  const at = (values: number[]): string =>
    marked(String(Number(Number((values[last] as number).toPrecision(3)).toFixed(3))), reader);
  return words.say("After %(hours)s h: %(volts)s V (%(expected)s V expected), %(amps)s A, %(charge)s Ah.", {
    hours: marked((chart.time_h[last] as number).toFixed(2), reader),
    volts: at(chart.voltage_V),
    expected: at(chart.expected_voltage_V),
    amps: at(chart.current_A),
    charge: at(chart.charge_Ah),
  });
}
