// <rig-view form="..." check="..." part-1="...">: the rig of a form as a picture to work in. It asks
// the server whether the rig can be whenever an answer changes; clicks and keys only write into the
// form's fields, so that the form alone says what the rig is.

import { button } from "./pieces";
import { RigLink } from "./rig-link";
import { type Triple, stepOf } from "./rig-form";
import { type Met, RigStage } from "./rig-stage";
import { unpacked } from "./view-pack";

type Mode = "look" | "contact" | "move";
const TURN = 10;
const NEARER = 0.85;
/** A pointer that moved less was a click [CSS pixels]. */
const STILL = 6;

class RigView extends HTMLElement {
  private stage: RigStage | null = null;
  private watcher: ResizeObserver | null = null;
  private readonly link = new RigLink(this);
  private mode: Mode = "look";
  private chosen = "";
  private readonly told = document.createElement("output");

  connectedCallback(): void {
    this.link.listen({
      shown: (scene) => this.stage?.show(scene, this.chosen),
      focused: (thing) => this.choose(thing),
    });
    void this.load();
  }

  disconnectedCallback(): void {
    this.link.stop();
    this.watcher?.disconnect();
    this.stage?.dispose();
    this.stage = null;
  }

  private async load(): Promise<void> {
    try {
      const bodies = [];
      for (let k = 1; this.hasAttribute(`part-${k}`); k += 1) {
        const answer = await fetch(this.getAttribute(`part-${k}`) ?? "");
        if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
        bodies.push(...unpacked(await answer.arrayBuffer()).bodies);
      }
      this.build(new RigStage(bodies));
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      this.replaceChildren(`${this.textContent ?? ""} (${said})`);
    }
    void this.link.check();
  }

  private build(stage: RigStage): void {
    this.stage = stage;
    const frame = document.createElement("div");
    frame.className = "pv-stage large";
    stage.canvas.tabIndex = 0;
    stage.canvas.setAttribute("role", "application");
    stage.canvas.setAttribute("aria-label", `${this.getAttribute("label") ?? ""}. ${this.words("keys")}`);
    this.told.className = "pv-tip";
    frame.append(stage.canvas, this.told);
    this.replaceChildren(frame, this.modes(), this.ways());
    this.listen(stage);
    this.watcher = new ResizeObserver(() => stage.resize(frame.clientWidth, frame.clientHeight));
    this.watcher.observe(frame);
    this.tell();
  }

  private modes(): HTMLElement {
    const bar = document.createElement("div");
    bar.className = "pv-bar rv-modes";
    bar.setAttribute("role", "group");
    bar.setAttribute("aria-label", this.getAttribute("label") ?? "");
    const kinds: Mode[] = ["look"];
    if (this.link.editable) kinds.push("move");
    if (this.link.placing) kinds.push("contact");
    const buttons = kinds.map((mode) => {
      const made = button(this.words(mode), () => {
        this.mode = mode;
        for (const one of buttons) one.setAttribute("aria-pressed", String(one === made));
        this.stage?.canvas.setAttribute("data-mode", mode);
      });
      made.setAttribute("aria-pressed", String(mode === this.mode));
      return made;
    });
    bar.append(...buttons);
    return bar;
  }

  private ways(): HTMLElement {
    const bar = document.createElement("div");
    bar.className = "pv-bar";
    if (!this.link.editable) return bar;
    for (const [word, key] of [
      ["left", "ArrowLeft"],
      ["right", "ArrowRight"],
      ["back", "ArrowUp"],
      ["front", "ArrowDown"],
      ["up", "PageUp"],
      ["down", "PageDown"],
    ] as const) {
      bar.append(button(this.words(word), () => this.move(stepOf(key, false))));
    }
    return bar;
  }

  private listen(stage: RigStage): void {
    const canvas = stage.canvas;
    let began: { x: number; y: number; met: Met | null; last: Triple | null } | null = null;
    canvas.addEventListener("pointerdown", (event) => {
      const met = stage.under(event.offsetX, event.offsetY);
      const grabs = this.mode === "move" && met !== null;
      began = { x: event.clientX, y: event.clientY, met, last: grabs ? met.place : null };
      stage.controls.enabled = !grabs;
      if (!grabs) return;
      this.choose(met.key);
      canvas.setPointerCapture(event.pointerId);
    }, { capture: true });
    canvas.addEventListener("pointermove", (event) => {
      if (began?.met == null || began.last === null) return;
      const now = stage.level(event.offsetX, event.offsetY, began.met.place[2]);
      if (now === null) return;
      this.move([now[0] - began.last[0], now[1] - began.last[1], 0]);
      began.last = now;
    });
    canvas.addEventListener("pointerup", (event) => {
      stage.controls.enabled = true;
      const start = began;
      began = null;
      if (start === null || Math.hypot(event.clientX - start.x, event.clientY - start.y) > STILL) return;
      this.clicked(start.met);
    });
    canvas.addEventListener("keydown", (event) => this.pressed(event, stage));
  }

  private clicked(met: Met | null): void {
    if (this.mode === "contact" && met !== null && met.part > 0) {
      this.link.place(met.place, met.part);
    } else {
      this.choose(met?.key ?? "");
    }
  }

  private pressed(event: KeyboardEvent, stage: RigStage): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const nearer: Record<string, number> = { "+": NEARER, "=": NEARER, "-": 1 / NEARER };
    const factor = nearer[event.key];
    const step = stepOf(event.key, event.shiftKey);
    if (factor !== undefined) stage.zoom(factor);
    else if (event.key === "Escape") this.choose("");
    else if (step === null) return;
    else if (this.chosen !== "") this.move(step);
    else stage.turn(TURN * Math.sign(step[0]), TURN * Math.sign(step[1] + step[2]));
    event.preventDefault();
  }

  private choose(thing: string): void {
    if (thing === this.chosen) return;
    this.chosen = thing;
    this.stage?.mark(thing);
    this.link.open(thing);
    this.tell();
  }

  private move(by: Triple | null): void {
    if (by === null || this.chosen === "") return;
    if (this.link.move(this.chosen, by)) this.stage?.shift(this.chosen, by);
  }

  private tell(): void {
    if (!this.link.editable) return;
    const name = this.chosen === "" ? this.words("nothing") : this.link.nameOf(this.chosen);
    this.told.textContent = `${this.words("chosen")}: ${name}`;
  }

  private words(key: string): string {
    return this.dataset[key] ?? "";
  }
}

customElements.define("rig-view", RigView);
