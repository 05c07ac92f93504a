// Between the rig's form and its picture: reads the fields, asks the server, writes what follows.

import { fieldLength, placeKeys, thingOf, toWrite, type Triple } from "./rig-form";
import type { RigScene } from "./rig-stage";
import { signed } from "./scale";

interface Reply extends RigScene {
  faults: Record<string, string>;
  base: string;
  answers: Record<string, string>;
  places: Record<string, Triple>;
}

interface Heard {
  shown: (scene: RigScene) => void;
  focused: (thing: string) => void;
}

const WAIT_MS = 250;

export class RigLink {
  private asked = 0;
  private timer = 0;
  private heard: Heard | null = null;
  /** Where things are [m], by the last answer and the steps since. */
  private places: Record<string, Triple> = {};
  private readonly changed = (event: Event): void => this.onInput(event);
  private readonly focused = (event: Event): void => this.onFocus(event);
  private readonly swapped = (): void => void this.check();

  constructor(private readonly view: HTMLElement) {}

  /** Whether the visitor may change the rig. */
  get editable(): boolean {
    return this.form?.querySelector('button[value="keep"]') != null;
  }

  /** Whether the surface may be clicked: for a contact, or a region. */
  get placing(): boolean {
    return this.form?.querySelector('button[value="add:contact"]') != null;
  }

  /** A picture beside another form: the rig as it is kept, asked for once. */
  private get still(): boolean {
    return this.view.hasAttribute("scene");
  }

  private get form(): HTMLFormElement | null {
    return document.getElementById(this.view.getAttribute("form") ?? "") as HTMLFormElement | null;
  }

  listen(heard: Heard): void {
    this.heard = heard;
    document.addEventListener("input", this.changed);
    document.addEventListener("change", this.changed);
    document.addEventListener("focusin", this.focused);
    document.addEventListener("htmx:afterSettle", this.swapped);
  }

  stop(): void {
    window.clearTimeout(this.timer);
    document.removeEventListener("input", this.changed);
    document.removeEventListener("change", this.changed);
    document.removeEventListener("focusin", this.focused);
    document.removeEventListener("htmx:afterSettle", this.swapped);
  }

  /** Asks whether the rig can be, and shows what comes. */
  async check(): Promise<void> {
    const sent = this.still ? {} : this.values();
    const number = (this.asked += 1);
    if (!this.still && document.getElementById("rig-said")?.textContent?.trim() === "") {
      this.say([this.words("busy")], "quiet");
    }
    try {
      const answer = await fetch(this.view.getAttribute(this.still ? "scene" : "check") ?? "", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ answers: sent }),
      });
      if (number !== this.asked) return;
      if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
      const reply = (await answer.json()) as Reply;
      if (this.still) this.heard?.shown(reply);
      else this.take(sent, reply);
    } catch {
      if (number === this.asked) this.say([this.words("cut")], "wrong"); // what is typed is kept
    }
  }

  /** Moves a thing's fields by a step [m]; false where it has none that are known. */
  move(thing: string, by: Triple): boolean {
    const form = this.form;
    const place = this.places[thing];
    const keys = placeKeys(thing, (name) => form?.elements.namedItem(name) != null);
    if (form === null || place === undefined || keys === null) return false;
    keys.forEach((key, k) => {
      if (by[k] === 0) return;
      place[k] = (place[k] as number) + (by[k] as number);
      this.write(key, fieldLength(place[k] as number, this.view.getAttribute("units") === "US"));
    });
    form.dispatchEvent(new Event("input", { bubbles: true }));
    this.soon();
    return true;
  }

  /** A new contact where the surface was clicked. */
  place(at: Triple, part: number): void {
    at.forEach((value, k) => this.write(`spot_${k}`, String(value)));
    this.write("spot_part", String(part));
    this.form?.querySelector<HTMLButtonElement>('button[value="add:contact"]')?.click();
  }

  /** Opens the fields of a thing. */
  open(thing: string): void {
    const group = this.form?.querySelector<HTMLDetailsElement>(`[data-group="${thing}"]`);
    if (group != null) group.open = true;
  }

  /** A thing's name on the page. */
  nameOf(thing: string): string {
    return this.form?.querySelector(`[data-thing="${thing}"] th`)?.textContent?.trim() ?? thing;
  }

  private onInput(event: Event): void {
    if (this.still) return;
    if (event.target instanceof Element && event.target.closest("form") === this.form) this.soon();
  }

  private onFocus(event: Event): void {
    if (!(event.target instanceof HTMLInputElement) || event.target.form !== this.form) return;
    const thing = thingOf(event.target.name);
    if (thing !== "") this.heard?.focused(thing);
  }

  private soon(): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.check(), WAIT_MS);
  }

  private take(sent: Record<string, string>, reply: Reply): void {
    this.mend(reply.faults);
    if (Object.keys(reply.faults).length > 0) {
      this.say([reply.faults[""] ?? this.words("wrong")], "wrong");
      return;
    }
    const now = this.values();
    for (const [name, value] of Object.entries(toWrite(sent, now, reply.answers))) {
      this.write(name, value);
    }
    this.write("base", reply.base);
    this.places = reply.places;
    for (const cell of this.form?.querySelectorAll<HTMLElement>("[data-of]") ?? []) {
      cell.textContent = signed(reply.answers[cell.dataset["of"] ?? ""] ?? cell.textContent);
    }
    if (reply.refusal === "") this.say([this.words("good"), ...reply.notes], "read");
    else this.say([reply.refusal], "wrong");
    this.heard?.shown(reply);
  }

  private mend(faults: Record<string, string>): void {
    for (const said of this.form?.querySelectorAll<HTMLElement>("[data-said]") ?? []) {
      const fault = faults[said.dataset["said"] ?? ""] ?? "";
      const text = document.createElement("span");
      text.className = "wrong";
      text.textContent = fault;
      said.replaceChildren(...(fault === "" ? [] : [text]));
    }
  }

  private say(sentences: string[], kind: string): void {
    const place = document.getElementById("rig-said");
    const told = sentences.map((sentence, k) => {
      const made = document.createElement("p");
      made.className = k === 0 ? kind : "small quiet";
      const first = sentence.charAt(0).toUpperCase() + sentence.slice(1);
      made.textContent = /[.!?…]$/.test(first) ? first : `${first}.`;
      return made;
    });
    if (place !== null && place.textContent !== told.map((one) => one.textContent).join("")) {
      place.replaceChildren(...told);
    }
  }

  private write(name: string, value: string): void {
    const field = this.form?.elements.namedItem(name);
    if (field !== null && field !== undefined && "value" in field) field.value = value;
  }

  private values(): Record<string, string> {
    const form = this.form;
    if (form === null) return {};
    return Object.fromEntries(
      [...new FormData(form)].filter((pair): pair is [string, string] => typeof pair[1] === "string"),
    );
  }

  private words(key: string): string {
    return this.view.dataset[key] ?? "";
  }
}
