// Figures of a view as the reader writes them: values, places, the legend and the table.

import { piece, table } from "./pieces";
import { colourTable, converted, marked, type Reader, rounded, share, signed, ticksFor, told } from "./scale";
import type { Place, Quantity, View } from "./view-pack";
import { capital, type Words } from "./words";

export class Figures {
  readonly reader: Reader;

  constructor(
    element: Element,
    readonly words: Words,
  ) {
    this.reader = { us: element.getAttribute("units") === "US", comma: element.getAttribute("mark") === "," };
  }

  /** A value with its unit. */
  told(value: number, quantity: Quantity): string {
    const text = told(value, quantity.shown_unit, this.reader);
    return quantity.signed === true && value > 0 ? `+${text}` : text;
  }

  /** A number without a unit. */
  number(value: number, digits = 3): string {
    return marked(rounded(value, digits), this.reader);
  }

  /** A place [m]. */
  place(place: readonly number[]): string {
    const inReader = place.map((value) => converted(1000 * value, "mm", this.reader)[0]);
    const between = this.reader.comma ? "; " : ", ";
    const digits = this.reader.us ? 2 : 1;
    const [, unit] = converted(0, "mm", this.reader);
    return `${inReader.map((value) => marked(signed(value.toFixed(digits)), this.reader)).join(between)} ${unit}`;
  }

  /** A quantity's value at a place: "Thickness 118 µm at 1.0, 2.0, 3.0 mm". */
  at(quantity: Quantity, value: number, place: readonly number[]): string {
    return this.words.say("%(quantity)s %(value)s at %(place)s", {
      quantity: this.words.say(quantity.words),
      value: this.told(value, quantity),
      place: this.place(place),
    });
  }

  /** What the buttons and sentences of an extreme place say. */
  extreme(quantity: Quantity, which: "least" | "greatest"): string {
    if (quantity.signed === true) {
      return this.words.say(which === "least" ? "Most lost" : "Most gained");
    }
    if (quantity.key === "thickness") {
      return this.words.say(which === "least" ? "Thinnest place" : "Thickest place");
    }
    return this.words.say(which === "least" ? "Least" : "Greatest");
  }

  /** An extreme place in one sentence. */
  found(quantity: Quantity, which: "least" | "greatest"): string {
    const { value, at_m: place, where } = quantity[which];
    const said = `${this.extreme(quantity, which)}: ${this.at(quantity, value, place)}`;
    return where === undefined ? said : `${said}. ${capital(this.words.where(where))}`;
  }

  /** The scale of colours with its ticks, and what the stripes mean. */
  legend(view: View, quantity: Quantity): HTMLElement[] {
    const strip = document.createElement("canvas");
    [strip.width, strip.height] = [256, 1];
    const pixels = new ImageData(256, 1);
    pixels.data.set(colourTable(view.colours, 256));
    strip.getContext("2d")?.putImageData(pixels, 0, 0);
    strip.setAttribute("aria-hidden", "true");
    const [, unit] = converted(0, quantity.shown_unit, this.reader);
    const words = this.words.say(quantity.words);
    const name = piece("span", "", unit === "" ? words : `${words}, ${unit}`);
    const ticks = piece("div", "pv-ticks");
    const all = ticksFor(quantity, this.reader);
    for (const tick of all) {
      const beyond = quantity.values_above_high;
      const more = tick === all.at(-1) && beyond ? "+" : "";
      const less = tick === all[0] && beyond && quantity.signed === true ? "≤ " : "";
      const [number] = converted(tick, quantity.shown_unit, this.reader);
      const mark = piece("span", "", `${less}${this.number(number, this.reader.us ? 3 : 6)}${more}`);
      mark.style.left = `${100 * share(tick, quantity.low, quantity.high)}%`;
      ticks.append(mark);
    }
    const striped = quantity.signed !== true && view.bodies.some(({ role, values }) => role === "part" && values["thickness"]);
    const stripes = "White stripes: not covered by copper. Black stripes: at the limit, it burns. Balls: contacts.";
    return [name, strip, ticks, ...(striped ? [piece("span", "quiet", this.words.say(stripes))] : [])];
  }

  /** The same as a table, for who cannot see the picture. */
  table(view: View): HTMLElement[] {
    if (view.quantities.length === 0) return [];
    const said = (quantity: Quantity, { value, at_m: at, where }: Place): string[] => [
      this.told(value, quantity),
      where === undefined ? this.place(at) : `${this.words.where(where)}; ${this.place(at)}`,
    ];
    const place = this.words.say("Where (x, y, z)");
    const head = [this.words.say("On the part"), this.words.say("Least"), place, this.words.say("Greatest"), place];
    const details = document.createElement("details");
    details.append(
      piece("summary", "", this.words.say("The same as a table")),
      table(
        head,
        view.quantities.map((one) => [this.words.say(one.words), ...said(one, one.least), ...said(one, one.greatest)]),
      ),
    );
    return [details];
  }
}
