// What the rig's form and its picture agree on: which fields hold a thing's place, how a step is
// written, and which of the server's answers go into the fields.

export type Triple = [number, number, number];

const PLACES = ["at", "middle", "near"];
/** One step of an arrow key, and with shift [m]. */
export const STEP = 0.005;
export const SMALL = 0.001;

/** A length [m] as it goes into a field: in millimetres, or in inches for who reads those. */
export function fieldLength(value: number, us = false): string {
  const [number, unit] = us ? [(value / 0.0254).toFixed(3), "in"] : [(1000 * value).toFixed(2), "mm"];
  return `${Number(number) + 0} ${unit}`;
}

/** The three fields that hold a thing's place, or null where the form has none. */
export function placeKeys(thing: string, has: (name: string) => boolean): Triple3 | null {
  for (const word of PLACES) {
    const keys: Triple3 = [`${thing}.${word}.0`, `${thing}.${word}.1`, `${thing}.${word}.2`];
    if (keys.every(has)) return keys;
  }
  return null;
}
export type Triple3 = [string, string, string];

/** The thing that a field is of: "anode.0" of "anode.0.at.1"; "" where it is none that moves. */
export function thingOf(name: string): string {
  return /^(?:anode|shield|thief|part|contact)\.\d+(?=\.)/.exec(name)?.[0] ?? "";
}

/** Which way a key moves a thing [m]: along, across, up; null where it moves nothing. */
export function stepOf(key: string, small: boolean): Triple | null {
  const step = small ? SMALL : STEP;
  const ways: Record<string, Triple> = {
    ArrowLeft: [-step, 0, 0],
    ArrowRight: [step, 0, 0],
    ArrowUp: [0, step, 0],
    ArrowDown: [0, -step, 0],
    PageUp: [0, 0, step],
    PageDown: [0, 0, -step],
  };
  return ways[key] ?? null;
}

/**
 * The answers of the server that go into the fields: where they differ, and the person has typed
 * nothing since they were asked for.
 */
export function toWrite(
  sent: Readonly<Record<string, string>>,
  now: Readonly<Record<string, string>>,
  answers: Readonly<Record<string, string>>,
): Record<string, string> {
  const found: Record<string, string> = {};
  for (const [name, answer] of Object.entries(answers)) {
    if (now[name] !== undefined && now[name] === sent[name] && now[name] !== answer) {
      found[name] = answer;
    }
  }
  return found;
}

/** A place of the tank in the coordinates of a part that is turned and put somewhere [m]. */
export function onPart(place: Triple, at: Triple, turn: readonly (readonly number[])[]): Triple {
  const away = place.map((value, k) => value - (at[k] as number));
  return [0, 1, 2].map((column) =>
    away.reduce((sum, value, row) => sum + value * ((turn[row] as number[])[column] as number), 0),
  ) as Triple;
}

/** Where a ray meets the level plane at a height, or null where it runs along it or away. */
export function onLevel(origin: Triple, way: Triple, height: number): Triple | null {
  if (Math.abs(way[2]) < 1e-9) return null;
  const far = (height - origin[2]) / way[2];
  if (far <= 0) return null;
  return [origin[0] + far * way[0], origin[1] + far * way[1], height];
}
