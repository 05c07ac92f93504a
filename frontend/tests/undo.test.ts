import { describe, expect, it } from "vitest";
import { Steps, differing } from "../src/undo";

describe("steps back", () => {
  it("take a field's keys as one step, and another field as another", () => {
    const steps = new Steps({ thickness: "120 um", wires: "2" });
    steps.changed("thickness", { thickness: "1", wires: "2" }, 0);
    steps.changed("thickness", { thickness: "150 um", wires: "2" }, 900);
    steps.changed("wires", { thickness: "150 um", wires: "1" }, 1000);
    expect(steps.back()).toEqual({ thickness: "150 um", wires: "2" });
    expect(steps.back()).toEqual({ thickness: "120 um", wires: "2" });
    expect(steps.back()).toBeNull();
  });

  it("part one field's changes by a pause, or by a step back", () => {
    const steps = new Steps({ thickness: "120 um" });
    steps.changed("thickness", { thickness: "150 um" }, 0);
    steps.changed("thickness", { thickness: "80 um" }, 5000);
    expect(steps.back()).toEqual({ thickness: "150 um" });
    steps.changed("thickness", { thickness: "90 um" }, 5100);
    expect(steps.back()).toEqual({ thickness: "150 um" });
    expect(steps.any).toBe(true);
  });

  it("do not count what changed nothing", () => {
    const steps = new Steps({ thickness: "120 um" });
    steps.changed("thickness", { thickness: "120 um" }, 0);
    expect(steps.any).toBe(false);
  });

  it("keep a hundred", () => {
    const steps = new Steps({ n: "0" });
    for (let n = 1; n <= 150; n += 1) steps.changed("", { n: String(n) }, n);
    let last = null;
    for (let back = steps.back(); back !== null; back = steps.back()) last = back;
    expect(last).toEqual({ n: "50" });
  });

  it("name what differs", () => {
    expect(differing({ a: "1", b: "2" }, { a: "1", b: "3" })).toEqual(["b"]);
  });
});
