// Readings that a person typed, kept in the browser until the server has taken them in. How long
// each waited is told, not when it was typed: the phone's clock may be wrong, its seconds are not.

import type { Shelf } from "./keep";

export interface Reading {
  volts: string;
  amps: string;
  bath: string;
  level: string;
  /** When it was typed, by this device's clock [ms]. */
  typed: number;
}

export interface SentReading extends Omit<Reading, "typed"> {
  ago_s: number;
}

const PREFIX = "tankside-readings-";

/** The readings that wait under a key, oldest first. */
export function waiting(shelf: Shelf, key: string): Reading[] {
  const text = shelf.getItem(PREFIX + key);
  if (text === null) return [];
  try {
    const held: unknown = JSON.parse(text);
    return Array.isArray(held) ? held.filter(isReading) : [];
  } catch (error) {
    if (error instanceof SyntaxError) return []; // cut off, or not ours: as if nothing waited
    throw error;
  }
}

function isReading(held: unknown): held is Reading {
  if (typeof held !== "object" || held === null) return false;
  const { volts, amps, bath, level, typed } = held as Partial<Reading>;
  return [volts, amps, bath, level].every((one) => typeof one === "string") && isFinite(typed ?? NaN);
}

/** Puts one behind those that wait. */
export function kept(shelf: Shelf, key: string, reading: Reading): void {
  shelf.setItem(PREFIX + key, JSON.stringify([...waiting(shelf, key), reading]));
}

/** Takes away those that were taken in, or the one that cannot be; others may have come since. */
export function without(shelf: Shelf, key: string, gone: readonly Reading[]): void {
  const rest = waiting(shelf, key).filter(
    (one) => !gone.some(({ typed, volts, amps }) =>
      typed === one.typed && volts === one.volts && amps === one.amps),
  );
  if (rest.length > 0) shelf.setItem(PREFIX + key, JSON.stringify(rest));
  else shelf.removeItem(PREFIX + key);
}

/** As they are sent at a moment of this device's clock [ms]. */
export function asSent(readings: readonly Reading[], now: number): SentReading[] {
  return readings.map(({ typed, ...rest }) => ({
    ...rest,
    ago_s: Math.max(0, (now - typed) / 1000),
  }));
}
