// Reads the packed view that the server makes of a part or a plan (see sheets/view_pack.py).

export interface Place {
  value: number;
  at_m: [number, number, number];
  /** In words, such as "near the bottom, facing anode 1". */
  where?: string;
}

/** What is kept of a body's quantity over the course: value = low + step * number. */
export interface Moments {
  numbers: Uint16Array;
  low: number;
  step: number;
}

/** When the moments are [s], and whether the field stands the same at all of them; of a difference,
 * the first plan's times beside the second's. */
export interface Course {
  times_s: number[];
  steady: boolean;
  first_s?: number[];
}

export interface Contact {
  name: string;
  at_m: [number, number, number];
}

export interface Quantity {
  key: string;
  words: string;
  unit: string;
  shown_unit: string;
  low: number;
  high: number;
  ticks: number[];
  values_above_high: boolean;
  least: Place;
  greatest: Place;
  /** A difference of two plans: above nothing is a gain. */
  signed?: boolean;
}

export interface Body {
  name: string;
  role: string;
  /** Corners [m], three numbers each. */
  vertices: Float32Array;
  /** Corner numbers, three a triangle. */
  triangles: Uint32Array;
  /** One value a triangle, by the key of the quantity. */
  values: Record<string, Float32Array>;
  /** Numbers of triangles at the limit of copper, and of those that stay bare. */
  burning: Uint32Array;
  bare: Uint32Array;
  /** Moments by the key of the quantity, outermost first; none where the course is steady. */
  course?: Record<string, Moments>;
  /** Of a difference: works the values of a moment out, into the array. */
  made?: (key: string, moment: number, into: Float32Array) => void;
}

export interface View {
  bodies: Body[];
  quantities: Quantity[];
  /** From low to high, as "#rrggbb". */
  colours: string[];
  goal_um?: number;
  course?: Course;
  /** Thickness below which copper does not cover, and share of the limit from which it burns. */
  bare_below?: number;
  burning_from?: number;
  contacts?: Contact[];
}

type Span = [offset: number, count: number];

interface PackedBody {
  name: string;
  role: string;
  vertices_m: Span;
  triangles: Span;
  values: Record<string, Span>;
  burning?: Span;
  bare?: Span;
  course?: Record<string, { span: Span; low: number; step: number }>;
}

type Header = Omit<View, "bodies"> & { bodies: PackedBody[] };

/** The second version added the course, contacts and words of places; all else is as before. */
const MAGIC = ["TKV2", "TKV1"];

/** The view in a file's bytes; arrays share them. Throws where it is no such file. */
export function unpacked(bytes: ArrayBuffer): View {
  const magic = new TextDecoder("latin1").decode(new Uint8Array(bytes, 0, Math.min(4, bytes.byteLength)));
  if (!MAGIC.includes(magic)) throw new Error(`not a view of this version: it begins with "${magic}"`);
  const length = new DataView(bytes).getUint32(4, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 8, length))) as Header;
  const start = 8 + length;
  const floats = ([offset, count]: Span): Float32Array =>
    new Float32Array(bytes, start + offset, count);
  const whole = ([offset, count]: Span): Uint32Array =>
    new Uint32Array(bytes, start + offset, count);
  const halves = ([offset, count]: Span): Uint16Array =>
    new Uint16Array(bytes, start + offset, count);
  const none: Span = [0, 0];
  return {
    ...header,
    bodies: header.bodies.map((body) => ({
      name: body.name,
      role: body.role,
      vertices: floats(body.vertices_m),
      triangles: whole(body.triangles),
      values: Object.fromEntries(
        Object.entries(body.values).map(([key, span]) => [key, floats(span)]),
      ),
      burning: whole(body.burning ?? none),
      bare: whole(body.bare ?? none),
      ...(body.course && {
        course: Object.fromEntries(
          Object.entries(body.course).map(([key, { span, low, step }]) => [
            key,
            { numbers: halves(span), low, step },
          ]),
        ),
      }),
    })),
  };
}
