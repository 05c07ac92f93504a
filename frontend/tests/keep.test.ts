import { describe, expect, it } from "vitest";
import { keptUnder, restored, type Shelf } from "../src/keep";

function shelf(held: Record<string, string> = {}): Shelf {
  return {
    getItem: (key) => held[key] ?? null,
    setItem: (key, value) => void (held[key] = value),
    removeItem: (key) => void delete held[key],
  };
}

describe("answers that were kept", () => {
  const sent = { thickness: "120 um", wires: "2" };

  it("come back where the server sends what it sent then", () => {
    const kept = { sent, typed: { thickness: "0,2 mm", wires: "2" } };
    expect(restored(sent, kept)).toEqual({ thickness: "0,2 mm" });
  });

  it("give way where the server sends something else", () => {
    const kept = { sent, typed: { thickness: "0,2 mm", wires: "1" } };
    expect(restored({ ...sent, thickness: "80 um" }, kept)).toEqual({ wires: "1" });
  });

  it("are left out where the form has no such field any more", () => {
    expect(restored({}, { sent, typed: { thickness: "0,2 mm" } })).toEqual({});
  });

  it("are nothing where nothing was kept", () => {
    expect(restored(sent, null)).toEqual({});
  });

  it.each(["", "{", "3", "null", "[]", '{"sent":1}', '{"sent":{},"typed":null}'])(
    "are nothing where %j was found",
    (text) => {
      expect(keptUnder(shelf({ "tankside-form-plan": text }), "plan")).toBeNull();
    },
  );

  it("are read as they were written", () => {
    const kept = { sent, typed: sent };
    expect(keptUnder(shelf({ "tankside-form-plan": JSON.stringify(kept) }), "plan")).toEqual(kept);
  });
});
