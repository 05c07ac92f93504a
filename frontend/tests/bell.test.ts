import { describe, expect, it } from "vitest";
import { AGAIN_MS, SILENT, rung, standingOf } from "../src/bell";

const quiet = { unseen: 0, due: false };
const alarm = { unseen: 1, due: false };

describe("the bell of a run", () => {
  it("is silent while nothing is wrong", () => {
    expect(rung(SILENT, quiet, 0)[1]).toBeNull();
  });

  it("rings at once for an alarm, again while nobody answers, and no more then", () => {
    const [after, what] = rung(SILENT, alarm, 100);
    expect(what).toBe("alarm");
    const [still, soon] = rung(after, alarm, 1100);
    expect(soon).toBeNull();
    expect(rung(still, alarm, 100 + AGAIN_MS)[1]).toBe("alarm");
    expect(rung(still, { unseen: 2, due: false }, 1200)[1]).toBe("alarm");
    expect(rung(still, quiet, 100 + 2 * AGAIN_MS)[1]).toBeNull();
  });

  it("rings once for a reading that is due", () => {
    const [after, what] = rung(SILENT, { unseen: 0, due: true }, 0);
    expect(what).toBe("due");
    expect(rung(after, { unseen: 0, due: true }, 1e6)[1]).toBeNull();
    const [read] = rung(after, quiet, 2e6);
    expect(rung(read, { unseen: 0, due: true }, 3e6)[1]).toBe("due");
  });

  it("reads the piece of the page", () => {
    expect(standingOf({ unseen: "2", due: "yes" })).toEqual({ unseen: 2, due: true });
    expect(standingOf({})).toEqual(quiet);
  });
});
