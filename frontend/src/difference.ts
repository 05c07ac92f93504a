// What a second plan changes against a first, place by place, where both stand on the same analysis
// surface: the same triangles with the same edges, however the part hangs.

import { lastOf, momentsOf, shareOf, timeAt, valuesBetween } from "./course";
import type { Body, Course, Place, Quantity, View } from "./view-pack";

/** Two edges that differ by more than this are of different surfaces [m]. */
const NEAR = 2e-6;
/** Share of the area that may lie beyond the ends of the scale. */
const BEYOND = 0.01;
/** Less to more: two hues for colour-blind eyes, light rising all the way for a grey print. */
const COLOURS = ["#0d2f63", "#3d6496", "#8d9096", "#d9a06c", "#ffdfb0"];

/** Whether the parts of two views are cut into the same triangles. */
export function sameSurface(one: View, other: View): boolean {
  const [mine, theirs] = [partsOf(one), partsOf(other)];
  return mine.length === theirs.length && mine.every((body, n) => alike(body, theirs[n] as Body));
}

/** The second view less the first, on the first one's place; null where the surfaces differ. */
export function differenceOf(first: View, second: View): View | null {
  if (!sameSurface(first, second)) return null;
  const theirs = partsOf(second);
  const shares = sharesOf(first, second);
  const bodies = partsOf(first).map((body, n) => {
    const other = theirs[n] as Body;
    return { ...lessened(other, body), ...(shares && { made: between(first, body, second, other, shares) }) };
  });
  const quantities = first.quantities
    .filter(({ key }) => bodies.every(({ values }) => values[key] !== undefined))
    .map((one) => legendOf(one, bodies))
    .map((one) => (one.values_above_high ? one : { ...one, values_above_high: leaves(one, bodies, shares?.length ?? 0) }));
  const course = shares && courseOf(first, second, shares);
  return { bodies, quantities, colours: COLOURS, contacts: first.contacts ?? [], ...(course && { course }) };
}

/** The moments of the plan that has more of them, as shares of the whole time; null where neither
 * plan has a course. */
function sharesOf(first: View, second: View): number[] | null {
  if (first.course === undefined || second.course === undefined) return null;
  const finer = momentsOf(first) > momentsOf(second) ? first : second;
  return lastOf(finer) < 1 ? null : Array.from({ length: momentsOf(finer) }, (_, k) => shareOf(finer, k));
}

function courseOf(first: View, second: View, shares: readonly number[]): Course {
  return {
    times_s: shares.map((share) => timeAt(second, share)),
    first_s: shares.map((share) => timeAt(first, share)),
    steady: false,
  };
}

/** How the second's values less the first's are worked out at the same share of both times. */
function between(first: View, mine: Body, second: View, theirs: Body, shares: readonly number[]) {
  const held = new Map<string, Float32Array>();
  return (key: string, moment: number, into: Float32Array): void => {
    const share = shares[moment] ?? 1;
    const less = held.get(key) ?? new Float32Array(into.length);
    held.set(key, less);
    valuesBetween(second, theirs, key, share, into);
    valuesBetween(first, mine, key, share, less);
    for (let t = 0; t < into.length; t += 1) into[t] = (into[t] as number) - (less[t] as number);
  };
}

function partsOf(view: View): Body[] {
  return view.bodies.filter(({ role }) => role === "part");
}

function alike(one: Body, other: Body): boolean {
  if (one.triangles.length !== other.triangles.length) return false;
  if (one.vertices.length !== other.vertices.length) return false;
  if (!one.triangles.every((corner, n) => corner === other.triangles[n])) return false;
  for (let n = 0; n < one.triangles.length; n += 3) {
    if (Math.abs(edgeOf(one, n) - edgeOf(other, n)) > NEAR) return false;
  }
  return true;
}

/** Length of a triangle's first edge [m]. */
function edgeOf({ vertices, triangles }: Body, n: number): number {
  const [a, b] = [3 * (triangles[n] as number), 3 * (triangles[n + 1] as number)];
  const along = (k: number): number => (vertices[a + k] as number) - (vertices[b + k] as number);
  return Math.hypot(along(0), along(1), along(2));
}

function lessened(body: Body, by: Body): Body {
  const shared = Object.keys(by.values).filter((key) => key in body.values);
  const values = Object.fromEntries(
    shared.map((key) => [
      key,
      (body.values[key] as Float32Array).map((value, t) => value - ((by.values[key] as Float32Array)[t] as number)),
    ]),
  );
  const none = new Uint32Array(0);
  return { name: by.name, role: by.role, vertices: by.vertices, triangles: by.triangles, values, burning: none, bare: none };
}

/** Whether any place leaves the scale at one of the moments. */
function leaves({ key, high }: Quantity, bodies: readonly Body[], moments: number): boolean {
  return bodies.some(({ made, values }) => {
    const now = new Float32Array(values[key]?.length ?? 0);
    for (let moment = 0; made !== undefined && moment < moments; moment += 1) {
      made(key, moment, now);
      if (now.some((value) => Math.abs(value) > high)) return true;
    }
    return false;
  });
}

/** A scale with nothing in its middle, and the places that lose and gain most. */
function legendOf(quantity: Quantity, bodies: readonly Body[]): Quantity {
  const all = Float32Array.from(bodies.flatMap(({ values }) => [...(values[quantity.key] as Float32Array)]));
  const sizes = all.map(Math.abs).sort();
  const widest = sizes.at(-1) ?? 0;
  const end = rounded(sizes[Math.floor((1 - BEYOND) * (sizes.length - 1))] || widest || 1);
  return {
    ...quantity,
    signed: true,
    low: -end,
    high: end,
    ticks: [-end, -end / 2, 0, end / 2, end],
    values_above_high: widest > end,
    least: extreme(bodies, quantity.key, -1),
    greatest: extreme(bodies, quantity.key, 1),
  };
}

/** The next of 1, 2, 5 times a power of ten. */
function rounded(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 2, 5, 10].find((one) => one * power >= value * (1 - 1e-9)) ?? 10;
  return step * power;
}

function extreme(bodies: readonly Body[], key: string, sign: 1 | -1): Place {
  let best: Place = { value: -sign * Infinity, at_m: [0, 0, 0] };
  for (const body of bodies) {
    (body.values[key] as Float32Array).forEach((value, t) => {
      if (sign * value > sign * best.value) best = { value, at_m: middleOf(body, t) };
    });
  }
  return best;
}

/** The middle of a triangle [m]. */
export function middleOf({ vertices, triangles }: Body, triangle: number): [number, number, number] {
  const corners = [0, 1, 2].map((k) => 3 * (triangles[3 * triangle + k] as number));
  return [0, 1, 2].map(
    (axis) => corners.reduce((sum, corner) => sum + (vertices[corner + axis] as number), 0) / 3,
  ) as [number, number, number];
}

/** The triangle of a view that stands for one of another view: the same number on the same surface,
 * else the one whose middle is nearest; null where the view has no such body. */
export function counterpart(view: View, name: string, triangle: number, count: number, place: readonly number[]): { body: Body; triangle: number } | null {
  const body = view.bodies.find((one) => one.name === name);
  if (body === undefined) return null;
  if (body.triangles.length === count) return { body, triangle };
  let [best, found] = [Infinity, 0];
  for (let t = 0; t < body.triangles.length / 3; t += 1) {
    const middle = middleOf(body, t);
    const away = middle.reduce((sum, value, k) => sum + (value - (place[k] as number)) ** 2, 0);
    if (away < best) [best, found] = [away, t];
  }
  return { body, triangle: found };
}
