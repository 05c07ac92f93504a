// The four corners of a panel in a photo: where they begin, how far they may go, how they are typed.

export type Spot = readonly [number, number];

/** Where the corners begin: well inside the photo, in the order in which the form asks for them. */
export function firstCorners(width: number, height: number): Spot[] {
  const [left, right] = [0.15 * width, 0.85 * width];
  const [top, bottom] = [0.25 * height, 0.75 * height];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** A corner kept on the photo. */
export function held(spot: Spot, width: number, height: number): Spot {
  return [Math.min(Math.max(spot[0], 0), width - 1), Math.min(Math.max(spot[1], 0), height - 1)];
}

/** As the form takes it: column, row. */
export function typed(spot: Spot): string {
  return `${Math.round(spot[0])},${Math.round(spot[1])}`;
}

/** A place in the tank [m] as the form takes it. */
export function typedPlace(place: readonly number[]): string {
  return place.map((metres) => `${Number((1000 * metres).toFixed(2))} mm`).join("; ");
}
