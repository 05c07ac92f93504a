import { describe, expect, it } from "vitest";
import { type Reading, asSent, kept, waiting, without } from "../src/reading-queue";

function shelf(): { held: Map<string, string> } & Pick<Storage, "getItem" | "setItem" | "removeItem"> {
  const held = new Map<string, string>();
  return {
    held,
    getItem: (key) => held.get(key) ?? null,
    setItem: (key, value) => void held.set(key, value),
    removeItem: (key) => void held.delete(key),
  };
}

const first: Reading = { volts: "1,9", amps: "2", bath: "", level: "", typed: 1000 };
const second: Reading = { ...first, amps: "2.1", typed: 61_000 };

describe("readings that wait", () => {
  it("are kept in their order, by run", () => {
    const place = shelf();
    kept(place, "a", first);
    kept(place, "a", second);
    kept(place, "b", second);
    expect(waiting(place, "a")).toEqual([first, second]);
    expect(waiting(place, "b")).toEqual([second]);
    expect(waiting(place, "c")).toEqual([]);
  });

  it("go once they are taken in, but not those typed meanwhile", () => {
    const place = shelf();
    kept(place, "a", first);
    kept(place, "a", second);
    without(place, "a", [first]);
    expect(waiting(place, "a")).toEqual([second]);
    without(place, "a", [second]);
    expect(place.held.size).toBe(0);
  });

  it("say how long they waited", () => {
    expect(asSent([first, second], 62_000).map(({ ago_s }) => ago_s)).toEqual([61, 1]);
    expect(asSent([second], 0)[0]).toEqual({ volts: "1,9", amps: "2.1", bath: "", level: "", ago_s: 0 });
  });

  it.each(["{", "{}", "[1, null]", '[{"volts": 1}]'])("are none in %s", (text) => {
    const place = shelf();
    place.held.set("tankside-readings-a", text);
    expect(waiting(place, "a")).toEqual([]);
  });
});
