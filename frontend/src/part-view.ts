// <part-view src="..." label="...">: a part, and what lies on it, with a legend, a slider over the
// time, a cut, the extreme places and the contacts, a path for the keyboard, and the same figures as
// a table. Views of one group="..." are turned, cut and coloured together; the one with "leads" has
// the controls. units="US" and mark="," write figures as the reader does.

import { typedPlace } from "./corners";
import { coveredAt, lasting, lastOf, momentAt, shareOf, valuesAt } from "./course";
import { button, labelled, piece, select, slider, table } from "./pieces";
import { type Axis, type Found, type Pose, Stage } from "./stage";
import { colourTable, converted, marked, type Reader, rounded, share, told } from "./scale";
import { type Group, joined, type Member } from "./view-group";
import { type Place, type Quantity, unpacked, type View } from "./view-pack";

const TURN = 15;
const NEARER = 0.85;

class PartView extends HTMLElement implements Member {
  private stage: Stage | null = null;
  private quantity: Quantity | null = null;
  private moment = 0;
  private watcher: ResizeObserver | null = null;
  private group: Group | null = null;
  private reader: Reader = { us: false, comma: false };
  private readonly tip = piece("output", "pv-tip");
  private readonly legend = piece("div", "pv-legend");
  private readonly when = piece("output", "pv-when");

  connectedCallback(): void {
    void this.load();
  }

  disconnectedCallback(): void {
    this.watcher?.disconnect();
    this.group?.leave();
    this.stage?.dispose();
    this.stage = null;
  }

  quantities(): readonly Quantity[] {
    return this.stage?.shown.quantities ?? [];
  }

  follow(pose: Pose): void {
    this.stage?.follow(pose);
  }

  choose(key: string): void {
    const found = this.quantities().find((one) => one.key === key) ?? null;
    this.quantity = found === null ? null : (this.group?.scaled(found) ?? found);
    this.stage?.colour(this.quantity, this.moment);
    this.drawLegend();
  }

  goTo(part: number): void {
    if (this.stage === null) return;
    const view = this.stage.shown;
    this.moment = momentAt(view, part);
    this.stage.colour(this.quantity, this.moment);
    const seconds = view.course?.times_s[this.moment] ?? 0;
    const covered = marked(rounded(100 * coveredAt(view, this.moment)), this.reader);
    this.when.textContent = `after ${lasting(seconds)}, copper covers ${covered} %`;
  }

  cut(axis: string, part: number): void {
    this.stage?.cutAt(axis as Axis, part);
  }

  /** This view and, of its group, all others. */
  private get all(): Member[] {
    return [this, ...(this.group?.others ?? [])];
  }

  private async load(): Promise<void> {
    this.reader = { us: this.getAttribute("units") === "US", comma: this.getAttribute("mark") === "," };
    try {
      const answer = await fetch(this.getAttribute("src") ?? "");
      if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
      this.build(unpacked(await answer.arrayBuffer()));
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      this.replaceChildren(`The part cannot be shown (${said}); its figures are in the tables.`);
    }
  }

  private build(view: View): void {
    const stage = (this.stage = new Stage(view));
    this.moment = lastOf(view);
    const frame = piece("div", "pv-stage large");
    stage.canvas.tabIndex = 0;
    stage.canvas.setAttribute("role", "img");
    const label = this.getAttribute("label") ?? "The part";
    stage.canvas.setAttribute(
      "aria-label",
      `${label}. Arrow keys turn it, plus and minus come nearer and go away.`,
    );
    frame.append(stage.canvas, this.tip);
    const name = this.getAttribute("group");
    const leads = name === null || this.hasAttribute("leads");
    this.replaceChildren(frame, this.legend, ...(leads ? this.controls(view) : [this.when]), ...this.figures(view));
    this.listen(stage);
    this.watcher = new ResizeObserver(() => stage.resize(frame.clientWidth, frame.clientHeight));
    this.watcher.observe(frame);
    stage.pin((view.contacts ?? []).map(({ at_m }) => at_m));
    this.group = joined(name, this);
    stage.onMove = () => {
      const pose = stage.pose;
      for (const other of this.group?.others ?? []) other.follow(pose);
    };
    const first = view.quantities[0]?.key ?? "";
    for (const one of this.all) one.choose(first);
    if (view.course !== undefined) this.goTo(1);
  }

  private listen(stage: Stage): void {
    let queued: PointerEvent | null = null;
    stage.canvas.addEventListener("pointermove", (event) => {
      if (event.buttons !== 0) return;
      if (queued === null) {
        requestAnimationFrame(() => {
          if (queued !== null) this.tell(stage.under(queued.offsetX, queued.offsetY));
          queued = null;
        });
      }
      queued = event;
    });
    stage.canvas.addEventListener("click", (event) => {
      const found = stage.under(event.offsetX, event.offsetY);
      this.tell(found);
      this.pick(found);
    });
    stage.canvas.addEventListener("pointerleave", () => (this.tip.textContent = ""));
    const keys: Record<string, () => void> = {
      ArrowLeft: () => stage.turn(-TURN, 0),
      ArrowRight: () => stage.turn(TURN, 0),
      ArrowUp: () => stage.turn(0, TURN),
      ArrowDown: () => stage.turn(0, -TURN),
      "+": () => stage.zoom(NEARER),
      "=": () => stage.zoom(NEARER),
      "-": () => stage.zoom(1 / NEARER),
    };
    stage.canvas.addEventListener("keydown", (event) => {
      const act = keys[event.key];
      if (act === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      act();
    });
  }

  /** Where it picks for a field of a form, the clicked place goes there. */
  private pick(found: Found | null): void {
    const field = document.getElementById(this.getAttribute("picks") ?? "");
    if (found === null || !(field instanceof HTMLInputElement)) return;
    field.value = typedPlace(found.place);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  private tell(found: Found | null): void {
    if (found === null || this.stage === null) {
      this.tip.textContent = "";
      return;
    }
    const quantity = this.quantity;
    const values = quantity === null ? undefined : valuesAt(this.stage.shown, found.body, quantity.key, this.moment);
    const value =
      quantity === null || values === undefined
        ? found.body.name
        : `${quantity.words} ${told(values[found.triangle] as number, quantity.shown_unit, this.reader)}`;
    this.tip.textContent = `${value} at ${this.place(found.place)}`;
  }

  private controls(view: View): HTMLElement[] {
    const bar = piece("div", "pv-bar");
    if (view.quantities.length > 0) {
      const choice = select(view.quantities.map(({ key, words }) => [key, words]));
      choice.addEventListener("change", () => {
        for (const one of this.all) one.choose(choice.value);
      });
      bar.append(labelled("Show", choice));
    }
    const found = piece("div", "pv-bar");
    for (const [words, which] of [["Least", "least"], ["Greatest", "greatest"]] as const) {
      if (view.quantities.length > 0) found.append(button(words, () => this.find(which)));
    }
    for (const contact of view.contacts ?? []) {
      found.append(button(capital(contact.name), () => this.look(contact.at_m, capital(contact.name))));
    }
    this.addCut(bar);
    this.addBodies(view, bar);
    return [...this.clock(view), bar, ...(found.childElementCount > 0 ? [found] : [])];
  }

  private clock(view: View): HTMLElement[] {
    const last = lastOf(view);
    if (view.course === undefined || last < 1) return [];
    const bar = piece("div", "pv-time");
    const hand = slider(0, last, 1, last);
    hand.addEventListener("input", () => {
      const part = shareOf(view, Number(hand.value));
      for (const one of this.all) one.goTo(part);
      hand.setAttribute("aria-valuetext", this.when.textContent ?? "");
    });
    bar.append(labelled("Time", hand), this.when);
    return [bar];
  }

  private addCut(bar: HTMLElement): void {
    const axis = select([["x", "length"], ["y", "width"], ["z", "height"]]);
    const depth = slider(0.02, 1, 0.01, 1);
    const cut = (): void => {
      for (const one of this.all) one.cut(axis.value, Number(depth.value));
    };
    axis.addEventListener("change", cut);
    depth.addEventListener("input", cut);
    bar.append(labelled("Cut along its", axis), labelled("Cut at", depth));
  }

  private addBodies(view: View, bar: HTMLElement): void {
    if (!view.bodies.some(({ role }) => role === "anode")) return;
    const box = document.createElement("input");
    box.type = "checkbox";
    box.addEventListener("change", () => {
      this.stage?.show("anode", box.checked);
      this.stage?.show("shield", box.checked);
    });
    bar.append(labelled("Anodes", box));
  }

  private find(which: "least" | "greatest"): void {
    const found = this.quantities().find(({ key }) => key === this.quantity?.key);
    if (found === undefined) return;
    const place = found[which];
    const words = `${which === "least" ? "Least" : "Greatest"} ${found.words.toLowerCase()}`;
    const where = place.where === undefined ? "" : `, ${place.where},`;
    this.look(place.at_m, `${words}: ${told(place.value, found.shown_unit, this.reader)}${where}`);
  }

  private look(place: readonly [number, number, number], words: string): void {
    this.stage?.look(place);
    this.tip.textContent = `${words} at ${this.place(place)}`;
  }

  private drawLegend(): void {
    const quantity = this.quantity;
    this.legend.replaceChildren();
    if (quantity === null || this.stage === null) return;
    const strip = document.createElement("canvas");
    [strip.width, strip.height] = [256, 1];
    const pixels = new ImageData(256, 1);
    pixels.data.set(colourTable(this.stage.shown.colours, 256));
    strip.getContext("2d")?.putImageData(pixels, 0, 0);
    strip.setAttribute("aria-hidden", "true");
    const [, unit] = converted(0, quantity.shown_unit, this.reader);
    const name = piece("span", "", unit === "" ? quantity.words : `${quantity.words}, ${unit}`);
    const ticks = piece("div", "pv-ticks");
    for (const tick of quantity.ticks) {
      const more = tick === quantity.ticks.at(-1) && quantity.values_above_high ? "+" : "";
      const [number] = converted(tick, quantity.shown_unit, this.reader);
      const mark = piece("span", "", `${marked(rounded(number, this.reader.us ? 3 : 6), this.reader)}${more}`);
      mark.style.left = `${100 * share(tick, quantity.low, quantity.high)}%`;
      ticks.append(mark);
    }
    this.legend.append(name, strip, ticks);
    if (this.stage.shown.bodies.some(({ role, values }) => role === "part" && values["thickness"])) {
      this.legend.append(piece("span", "quiet", "White stripes: not covered by copper. Black stripes: at the limit, it burns. Balls: contacts."));
    }
  }

  private figures(view: View): HTMLElement[] {
    if (view.quantities.length === 0) return [];
    const said = (quantity: Quantity, place: Place): string[] => [
      told(place.value, quantity.shown_unit, this.reader),
      `${place.where === undefined ? "" : `${place.where}; `}${this.place(place.at_m)}`,
    ];
    const details = document.createElement("details");
    details.append(
      piece("summary", "", "The same as a table"),
      table(
        ["On the part", "Least", "Where (x, y, z)", "Greatest", "Where (x, y, z)"],
        view.quantities.map((one) => [one.words, ...said(one, one.least), ...said(one, one.greatest)]),
      ),
    );
    return [details];
  }

  private place(place: readonly number[]): string {
    const inReader = place.map((value) => converted(1000 * value, "mm", this.reader)[0]);
    const between = this.reader.comma ? "; " : ", ";
    const digits = this.reader.us ? 2 : 1;
    const [, unit] = converted(0, "mm", this.reader);
    return `${inReader.map((value) => marked(value.toFixed(digits), this.reader)).join(between)} ${unit}`;
  }
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

customElements.define("part-view", PartView);
