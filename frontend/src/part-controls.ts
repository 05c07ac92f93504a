// What a view is worked with: which quantity, which moment, where it is cut, what is looked for.

import { lastOf } from "./course";
import type { Figures } from "./part-figures";
import { button, labelled, piece, select, slider } from "./pieces";
import type { Member } from "./view-group";
import type { Quantity, View } from "./view-pack";
import { capital } from "./words";

/** What of a view the controls need. */
export interface Worked {
  readonly all: Member[];
  find(which: "least" | "greatest"): void;
  look(place: readonly [number, number, number], said: string): void;
  show(role: string, shown: boolean): void;
  shareAt(moment: number): number;
}

export class Controls {
  readonly when = piece("output", "pv-when");
  private readonly least: HTMLButtonElement;
  private readonly greatest: HTMLButtonElement;
  private hand: HTMLInputElement | null = null;
  private choice: HTMLSelectElement | null = null;

  constructor(
    private readonly view: View,
    private readonly worked: Worked,
    private readonly figures: Figures,
  ) {
    this.least = button("", () => worked.find("least"));
    this.greatest = button("", () => worked.find("greatest"));
  }

  /** All of them, to stand under the picture. */
  all(view: View): HTMLElement[] {
    const bar = piece("div", "pv-bar");
    if (view.quantities.length > 0) bar.append(labelled(this.say("Show"), this.quantities(view)));
    this.addCut(bar);
    this.addBodies(bar);
    const found = piece("div", "pv-bar");
    if (view.quantities.length > 0) found.append(this.least, this.greatest);
    for (const { name, at_m: place } of view.contacts ?? []) {
      const words = capital(this.figures.words.named(name));
      found.append(button(words, () => this.worked.look(place, `${words}: ${this.figures.place(place)}`)));
    }
    return [...this.clock(), bar, ...(found.childElementCount > 0 ? [found] : [])];
  }

  /** Another quantity is shown. */
  chose(quantity: Quantity | null): void {
    if (quantity === null) return;
    this.least.textContent = this.figures.extreme(quantity, "least");
    this.greatest.textContent = this.figures.extreme(quantity, "greatest");
    if (this.choice !== null) this.choice.value = quantity.key;
  }

  /** What the moment is. */
  tell(said: string): void {
    this.when.textContent = said;
    this.hand?.setAttribute("aria-valuetext", said);
  }

  private quantities(view: View): HTMLSelectElement {
    const choice = select(view.quantities.map(({ key, words }) => [key, this.say(words)]));
    choice.addEventListener("change", () => {
      for (const one of this.worked.all) one.choose(choice.value);
    });
    return (this.choice = choice);
  }

  private clock(): HTMLElement[] {
    const last = lastOf(this.view);
    if (this.view.course === undefined || last < 1) return [];
    const bar = piece("div", "pv-time");
    const hand = (this.hand = slider(0, last, 1, last));
    hand.addEventListener("input", () => {
      const part = this.worked.shareAt(Number(hand.value));
      for (const one of this.worked.all) one.goTo(part);
    });
    bar.append(labelled(this.say("Time"), hand), this.when);
    return [bar];
  }

  private addCut(bar: HTMLElement): void {
    const axis = select([
      ["x", this.say("length")],
      ["y", this.say("width")],
      ["z", this.say("height")],
    ]);
    const depth = slider(0.02, 1, 0.01, 1);
    const cut = (): void => {
      for (const one of this.worked.all) one.cut(axis.value, Number(depth.value));
    };
    axis.addEventListener("change", cut);
    depth.addEventListener("input", cut);
    bar.append(labelled(this.say("Cut along its"), axis), labelled(this.say("Cut at"), depth));
  }

  private addBodies(bar: HTMLElement): void {
    if (!this.view.bodies.some(({ role }) => role === "anode")) return;
    const box = document.createElement("input");
    box.type = "checkbox";
    box.addEventListener("change", () => {
      this.worked.show("anode", box.checked);
      this.worked.show("shield", box.checked);
    });
    bar.append(labelled(this.say("Anodes"), box));
  }

  private say(text: string): string {
    return this.figures.words.say(text);
  }
}
