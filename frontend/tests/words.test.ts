import { describe, expect, it } from "vitest";
import { Words } from "../src/words";

const french = new Words({
  "at %(place)s": "à %(place)s",
  "contact %(number)s": "contact n° %(number)s",
  "near the top": "près du haut",
  "facing anode %(number)s": "face à l'anode %(number)s",
});

describe("words", () => {
  it("are the reader's, and English where there are none", () => {
    expect(french.say("at %(place)s", { place: "5 mm" })).toBe("à 5 mm");
    expect(new Words().say("covers %(share)s %%", { share: 4 })).toBe("covers 4 %");
    expect(french.say("a value of %(name)s stays")).toBe("a value of %(name)s stays");
  });

  it("of numbered things keep the number", () => {
    expect(french.named("contact 2")).toBe("contact n° 2");
    expect(french.named("wire 12")).toBe("wire 12");
  });

  it("of a place go phrase by phrase", () => {
    expect(french.where("near the top, facing anode 2")).toBe("près du haut, face à l'anode 2");
    expect(french.where("half way up, facing up")).toBe("half way up, facing up");
  });
});
