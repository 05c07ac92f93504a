// A view at a moment of its growth: values and marks, without asking the server.

import type { Body, Quantity, View } from "./view-pack";

/** Number of moments; one where the view has no course. */
export function momentsOf(view: View): number {
  return view.course?.times_s.length ?? 1;
}

/** The last moment. */
export function lastOf(view: View): number {
  return momentsOf(view) - 1;
}

const LATEST = new WeakMap<Body, Map<string, { moment: number; values: Float32Array }>>();

/**
 * Values of a body at a moment, one a triangle, in the quantity's unit. Where the field stands,
 * only the copper grows, evenly in time. The last moment is the plan itself, unrounded. Those of
 * the moment asked for last are kept, because a frame asks for them several times; another moment
 * is written into the same array.
 */
export function valuesAt(view: View, body: Body, key: string, moment: number): Float32Array | undefined {
  const final = body.values[key];
  if (final === undefined || view.course === undefined || moment >= lastOf(view)) return final;
  if (body.made === undefined && body.course?.[key] === undefined && key !== "thickness") return final;
  const known = LATEST.get(body) ?? new Map<string, { moment: number; values: Float32Array }>();
  LATEST.set(body, known);
  const latest = known.get(key);
  if (latest?.moment === moment) return latest.values;
  const values = latest?.values ?? new Float32Array(final.length);
  if (body.made !== undefined) body.made(key, moment, values);
  else unrolled(view, body, key, moment, values);
  known.set(key, { moment, values });
  return values;
}

/** Values of a body at a share of the whole time, written into an array: evenly between the moments
 * on both sides of it. */
export function valuesBetween(view: View, body: Body, key: string, share: number, into: Float32Array): void {
  const last = lastOf(view);
  let after = 0;
  while (after < last && shareOf(view, after) < share) after += 1;
  const before = Math.max(0, after - 1);
  const [from, to] = [shareOf(view, before), shareOf(view, after)];
  const part = to > from ? Math.min(1, Math.max(0, (share - from) / (to - from))) : 1;
  const later = valuesAt(view, body, key, after);
  if (later === undefined) return;
  into.set(later);
  if (part === 1 || before === after) return;
  const earlier = valuesAt(view, body, key, before) as Float32Array;
  for (let t = 0; t < into.length; t += 1) into[t] = part * (into[t] as number) + (1 - part) * (earlier[t] as number);
}

/** The time [s] at a share of the whole. */
export function timeAt(view: View, share: number): number {
  return share * (view.course?.times_s.at(-1) ?? 0);
}

/** Writes the values of a moment into an array. */
function unrolled(view: View, body: Body, key: string, moment: number, into: Float32Array): void {
  const kept = body.course?.[key];
  if (kept === undefined) {
    const final = body.values[key] as Float32Array;
    const part = shareOf(view, moment);
    for (let t = 0; t < into.length; t += 1) into[t] = part * (final[t] as number);
    return;
  }
  const { numbers, low, step } = kept;
  const from = moment * into.length;
  for (let t = 0; t < into.length; t += 1) into[t] = low + step * (numbers[from + t] as number);
}

/** Share of the whole time that a moment is [-]. */
export function shareOf(view: View, moment: number): number {
  const times = view.course?.times_s ?? [1];
  const last = times.at(-1) ?? 1;
  return last > 0 ? (times[moment] ?? last) / last : 1;
}

/** The moment that is nearest to a share of the whole time. */
export function momentAt(view: View, share: number): number {
  let best = 0;
  for (let k = 1; k < momentsOf(view); k += 1) {
    if (Math.abs(shareOf(view, k) - share) < Math.abs(shareOf(view, best) - share)) best = k;
  }
  return best;
}

export interface Marks {
  burning: readonly number[] | Uint32Array;
  bare: readonly number[] | Uint32Array;
}

/** Triangles of a part at the limit of copper, and those that copper does not cover yet. */
export function marksAt(view: View, body: Body, moment: number): Marks {
  if (view.course === undefined || moment >= lastOf(view) || body.role !== "part") return body;
  const above = view.burning_from ?? Infinity;
  const below = view.bare_below ?? -Infinity;
  return {
    burning: numbersWhere(valuesAt(view, body, "fraction_of_limit", moment), (value) => value >= above),
    bare: numbersWhere(valuesAt(view, body, "thickness", moment), (value) => value < below),
  };
}

function numbersWhere(values: Float32Array | undefined, chosen: (value: number) => boolean): number[] {
  const found: number[] = [];
  if (values === undefined) return found;
  for (let t = 0; t < values.length; t += 1) if (chosen(values[t] as number)) found.push(t);
  return found;
}

/** Share of the parts' area that copper covers at a moment [-]. */
export function coveredAt(view: View, moment: number): number {
  let covered = 0;
  let whole = 0;
  for (const body of view.bodies) {
    if (body.role !== "part") continue;
    const values = valuesAt(view, body, "thickness", moment);
    if (values === undefined) continue;
    const areas = areasOf(body);
    const least = view.bare_below ?? 0;
    for (let t = 0; t < values.length; t += 1) {
      whole += areas[t] as number;
      if ((values[t] as number) >= least) covered += areas[t] as number;
    }
  }
  return whole > 0 ? covered / whole : 1;
}

const AREAS = new WeakMap<Body, Float32Array>();

/** Area of each triangle of a body [m²], worked out once. */
function areasOf(body: Body): Float32Array {
  const known = AREAS.get(body);
  if (known !== undefined) return known;
  const corner = (n: number, k: number): number => body.vertices[3 * (body.triangles[n] as number) + k] as number;
  const areas = new Float32Array(body.triangles.length / 3).map((_, t) => {
    const [u, v] = [1, 2].map((n) => [0, 1, 2].map((k) => corner(3 * t + n, k) - corner(3 * t, k))) as [number[], number[]];
    const [ux, uy, uz] = u as [number, number, number];
    const [vx, vy, vz] = v as [number, number, number];
    return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
  });
  AREAS.set(body, areas);
  return areas;
}

/** A time [s] in words: 45 s, 12 min, 5 h 20 min. */
export function lasting(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

/** One scale for the same quantity of several views: from the least end to the greatest. */
export function jointScale(quantity: Quantity, others: readonly Quantity[]): Quantity {
  const all = [quantity, ...others];
  const low = Math.min(...all.map((one) => one.low));
  const widest = all.reduce((a, b) => (b.high > a.high ? b : a));
  const ticks = [...new Set([low, ...widest.ticks.filter((tick) => tick > low)])];
  return {
    ...quantity,
    low,
    high: widest.high,
    ticks,
    values_above_high: all.some((one) => one.values_above_high || one.greatest.value > widest.high),
  };
}
