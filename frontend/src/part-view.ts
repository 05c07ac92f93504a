// <part-view src="..." label="...">: a part, and what lies on it, with a legend, a cut, the extreme
// places, a path for the keyboard, and the same figures as a table.

import { typedPlace } from "./corners";
import { type Axis, type Found, Stage } from "./stage";
import { colourTable, share, told } from "./scale";
import { type Place, type Quantity, unpacked, type View } from "./view-pack";

const TURN = 15;
const NEARER = 0.85;

class PartView extends HTMLElement {
  private stage: Stage | null = null;
  private quantity: Quantity | null = null;
  private watcher: ResizeObserver | null = null;
  private readonly tip = piece("output", "pv-tip");
  private readonly legend = piece("div", "pv-legend");

  connectedCallback(): void {
    void this.load();
  }

  disconnectedCallback(): void {
    this.watcher?.disconnect();
    this.stage?.dispose();
    this.stage = null;
  }

  private async load(): Promise<void> {
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
    const frame = piece("div", "pv-stage large");
    stage.canvas.tabIndex = 0;
    stage.canvas.setAttribute("role", "img");
    const label = this.getAttribute("label") ?? "The part";
    stage.canvas.setAttribute(
      "aria-label",
      `${label}. Arrow keys turn it, plus and minus come nearer and go away.`,
    );
    frame.append(stage.canvas, this.tip);
    this.replaceChildren(frame, this.legend, this.bar(view), ...this.table(view));
    this.listen(stage);
    this.watcher = new ResizeObserver(() => stage.resize(frame.clientWidth, frame.clientHeight));
    this.watcher.observe(frame);
    this.choose(view.quantities[0] ?? null);
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
    if (found === null) {
      this.tip.textContent = "";
      return;
    }
    const values = this.quantity === null ? undefined : found.body.values[this.quantity.key];
    const value =
      this.quantity === null || values === undefined
        ? found.body.name
        : `${this.quantity.words} ${told(values[found.triangle] as number, this.quantity.shown_unit)}`;
    this.tip.textContent = `${value} at ${millimetres(found.place)}`;
  }

  private choose(quantity: Quantity | null): void {
    this.quantity = quantity;
    this.stage?.colour(quantity);
    this.drawLegend();
  }

  private bar(view: View): HTMLElement {
    const bar = piece("div", "pv-bar");
    if (view.quantities.length > 0) {
      const choice = select(view.quantities.map(({ key, words }) => [key, words]));
      choice.addEventListener("change", () =>
        this.choose(view.quantities.find(({ key }) => key === choice.value) ?? null),
      );
      bar.append(labelled("Show", choice));
      for (const [words, which] of [["Least", "least"], ["Greatest", "greatest"]] as const) {
        bar.append(button(words, () => this.find(which)));
      }
    }
    const axis = select([["x", "length"], ["y", "width"], ["z", "height"]]);
    const depth = document.createElement("input");
    Object.assign(depth, { type: "range", min: "0.02", max: "1", step: "0.01", value: "1" });
    const cut = (): void => this.stage?.cutAt(axis.value as Axis, Number(depth.value));
    axis.addEventListener("change", cut);
    depth.addEventListener("input", cut);
    bar.append(labelled("Cut along its", axis), labelled("Cut at", depth));
    if (view.bodies.some(({ role }) => role === "anode")) {
      const box = document.createElement("input");
      box.type = "checkbox";
      box.addEventListener("change", () => {
        this.stage?.show("anode", box.checked);
        this.stage?.show("shield", box.checked);
      });
      bar.append(labelled("Anodes", box));
    }
    return bar;
  }

  private find(which: "least" | "greatest"): void {
    if (this.quantity === null) return;
    const place = this.quantity[which];
    this.stage?.look(place.at_m);
    const words = `${which === "least" ? "Least" : "Greatest"} ${this.quantity.words.toLowerCase()}`;
    this.tip.textContent =
      `${words}: ${told(place.value, this.quantity.shown_unit)} at ${millimetres(place.at_m)}`;
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
    const name = piece("span", "");
    name.textContent = quantity.shown_unit === "" ? quantity.words : `${quantity.words}, ${quantity.shown_unit}`;
    const ticks = piece("div", "pv-ticks");
    for (const tick of quantity.ticks) {
      const mark = piece("span", "");
      const more = tick === quantity.ticks.at(-1) && quantity.values_above_high ? "+" : "";
      mark.textContent = `${Number(tick.toPrecision(6))}${more}`;
      mark.style.left = `${100 * share(tick, quantity.low, quantity.high)}%`;
      ticks.append(mark);
    }
    this.legend.append(name, strip, ticks);
  }

  private table(view: View): HTMLElement[] {
    if (view.quantities.length === 0) return [];
    const details = document.createElement("details");
    const summary = document.createElement("summary");
    summary.textContent = "The same as a table";
    const table = document.createElement("table");
    const head = table.createTHead().insertRow();
    for (const words of ["On the part", "Least", "at x, y, z", "Greatest", "at x, y, z"]) {
      const cell = document.createElement("th");
      cell.scope = "col";
      cell.textContent = words;
      head.append(cell);
    }
    const body = table.createTBody();
    for (const quantity of view.quantities) {
      const row = body.insertRow();
      const name = document.createElement("th");
      name.scope = "row";
      name.textContent = quantity.words;
      row.append(name);
      for (const place of [quantity.least, quantity.greatest] satisfies Place[]) {
        row.insertCell().textContent = told(place.value, quantity.shown_unit);
        row.insertCell().textContent = millimetres(place.at_m);
      }
    }
    const scroll = piece("div", "scroll");
    scroll.tabIndex = 0;
    scroll.append(table);
    details.append(summary, scroll);
    return [details];
  }
}

function millimetres(place: readonly number[]): string {
  return `${place.map((value) => (1000 * value).toFixed(1)).join(", ")} mm`;
}

function piece(tag: string, name: string): HTMLElement {
  const made = document.createElement(tag);
  if (name !== "") made.className = name;
  return made;
}

function button(words: string, act: () => void): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "plain";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

function select(options: readonly (readonly [string, string])[]): HTMLSelectElement {
  const made = document.createElement("select");
  made.append(...options.map(([value, words]) => new Option(words, value)));
  return made;
}

function labelled(words: string, control: HTMLElement): HTMLLabelElement {
  const made = document.createElement("label");
  made.append(`${words} `, control);
  return made;
}

customElements.define("part-view", PartView);
