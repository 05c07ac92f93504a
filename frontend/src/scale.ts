// Colours of a scale, and numbers as people read them.

export type Rgb = [red: number, green: number, blue: number];

/** A colour such as "#a1b2c3" as three numbers from 0 to 1. */
export function parsed(colour: string): Rgb {
  const number = Number.parseInt(colour.slice(1), 16);
  return [((number >> 16) & 255) / 255, ((number >> 8) & 255) / 255, (number & 255) / 255];
}

/** A table of `steps` colours between the given ones, as bytes red, green, blue, alpha. */
export function colourTable(colours: readonly string[], steps: number): Uint8Array {
  const stops = colours.map(parsed);
  const table = new Uint8Array(4 * steps);
  for (let step = 0; step < steps; step += 1) {
    const at = (step / (steps - 1)) * (stops.length - 1);
    const lower = Math.min(Math.floor(at), stops.length - 2);
    const [from, to] = [stops[lower] as Rgb, stops[lower + 1] as Rgb];
    for (let k = 0; k < 3; k += 1) {
      const mixed = (from[k] as number) + (at - lower) * ((to[k] as number) - (from[k] as number));
      table[4 * step + k] = Math.round(255 * mixed);
    }
    table[4 * step + 3] = 255;
  }
  return table;
}

/** Where a value stands between two ends, from 0 to 1; beyond an end it stands at it. */
export function share(value: number, low: number, high: number): number {
  return Math.min(Math.max((value - low) / (high - low), 0), 1);
}

/** A number with a minus sign in place of a hyphen. */
export function signed(text: string): string {
  return text.replace(/^-/, "−");
}

/** A number to three significant digits, without an exponent where people write none. */
export function rounded(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return "–";
  return signed(String(Number(value.toPrecision(digits))));
}

/** Whose figures are written: units, and the decimal mark. */
export interface Reader {
  us: boolean;
  comma: boolean;
}

export const PLAIN_READER: Reader = { us: false, comma: false };

/** How many of the reader's units one of the packed ones is: 1 mil = 25.4 µm, 1 ft = 30.48 cm. */
const US_UNITS: Record<string, [unit: string, factor: number]> = {
  "µm": ["mil", 1 / 25.4],
  mm: ["in", 1 / 25.4],
  "A/dm²": ["A/ft²", 3.048 ** 2],
};

/** A number in a packed unit as the reader's, and the reader's unit. */
export function converted(value: number, unit: string, reader: Reader): [number, string] {
  const [own, factor] = (reader.us ? US_UNITS[unit] : undefined) ?? [unit, 1];
  return [value * factor, own];
}

/** A number with the reader's decimal mark. */
export function marked(text: string, reader: Reader): string {
  return reader.comma ? text.replaceAll(".", ",") : text;
}

/** A value with its unit, as the reader writes both. */
export function told(value: number, unit: string, reader: Reader = PLAIN_READER): string {
  const [number, own] = converted(value, unit, reader);
  const text = marked(rounded(number), reader);
  return own === "" ? text : `${text} ${own}`;
}

/** Marks of a scale in packed units: as they come, or round in the reader's unit where that is
 * another. */
export function ticksFor(
  scale: { low: number; high: number; ticks: readonly number[]; shown_unit: string },
  reader: Reader,
): readonly number[] {
  const [factor, unit] = converted(1, scale.shown_unit, reader);
  if (unit === scale.shown_unit) return scale.ticks;
  const [low, high] = [scale.low * factor, scale.high * factor];
  const power = 10 ** Math.floor(Math.log10((high - low) / 3));
  const step = power * ([1, 2, 5].filter((one) => (high - low) / (one * power) >= 3).at(-1) ?? 1);
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first + 1;
  return Array.from({ length: count }, (_, n) => ((first + n) * step) / factor);
}
