// What a run's chart shows, from what the server sends.

export interface Chart {
  time_h: number[];
  voltage_V: number[];
  current_A: number[];
  expected_voltage_V: number[];
  charge_Ah: number[];
}

export type Columns = [time: number[], volts: number[], expected: number[], amps: number[]];

/** The columns as the chart takes them. Throws where they are not of one length. */
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
  return columns;
}

/** The last sample in words, for who cannot see the curves. */
export function lastInWords(chart: Chart): string {
  const last = chart.time_h.length - 1;
  if (last < 0) return "No sample yet.";
  const at = (values: number[]): string => (values[last] as number).toPrecision(3);
  return (
    `After ${at(chart.time_h)} h: ${at(chart.voltage_V)} V (${at(chart.expected_voltage_V)} V ` +
    `expected), ${at(chart.current_A)} A, ${at(chart.charge_Ah)} Ah.`
  );
}
