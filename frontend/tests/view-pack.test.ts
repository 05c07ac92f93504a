import { describe, expect, it } from "vitest";
import { unpacked } from "../src/view-pack";

function packed(header: unknown, arrays: ArrayBufferView[], magic = "TKV1"): ArrayBuffer {
  const text = new TextEncoder().encode(JSON.stringify(header));
  const length = Math.ceil(text.length / 4) * 4;
  const content = arrays.flatMap((one) => [...new Uint8Array(one.buffer, one.byteOffset, one.byteLength)]);
  const bytes = new Uint8Array(8 + length + content.length).fill(32);
  bytes.set(new TextEncoder().encode(magic));
  new DataView(bytes.buffer).setUint32(4, length, true);
  bytes.set(text, 8);
  bytes.set(content, 8 + length);
  return bytes.buffer;
}

const body = {
  name: "part 1",
  role: "part",
  vertices_m: [0, 9],
  triangles: [36, 3],
  values: { thickness: [48, 1] },
  bare: [52, 1],
};
const arrays = [
  new Float32Array([0, 0, 0, 1, 0, 0, 0, 1, 0]),
  new Uint32Array([0, 1, 2]),
  new Float32Array([118.5]),
  new Uint32Array([0]),
];

describe("a packed view", () => {
  it("comes apart into its bodies", () => {
    const view = unpacked(packed({ bodies: [body], quantities: [], colours: ["#000000"], goal_um: 120 }, arrays));
    const [part] = view.bodies;
    expect(part?.name).toBe("part 1");
    expect([...(part?.vertices ?? [])]).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0]);
    expect([...(part?.triangles ?? [])]).toEqual([0, 1, 2]);
    expect([...(part?.values["thickness"] ?? [])]).toEqual([118.5]);
    expect([...(part?.bare ?? [])]).toEqual([0]);
    expect(part?.burning.length).toBe(0);
    expect(view.goal_um).toBe(120);
  });

  it("holds the moments of a course", () => {
    const course = { thickness: { span: [56, 2], low: 1, step: 0.5 } };
    const header = { bodies: [{ ...body, course }], quantities: [], colours: [], course: { times_s: [0, 9], steady: false } };
    const view = unpacked(packed(header, [...arrays, new Uint16Array([0, 235])], "TKV2"));
    const kept = view.bodies[0]?.course?.["thickness"];
    expect([...(kept?.numbers ?? [])]).toEqual([0, 235]);
    expect([kept?.low, kept?.step]).toEqual([1, 0.5]);
    expect(view.course?.times_s).toEqual([0, 9]);
  });

  it("is refused where it is something else", () => {
    expect(() => unpacked(packed({}, [], "TKV9"))).toThrow("TKV9");
    expect(() => unpacked(new ArrayBuffer(2))).toThrow("not a view");
  });
});
