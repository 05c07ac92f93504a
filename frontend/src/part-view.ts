// <part-view src="..." label="...">: a part, and what lies on it, with a legend, a slider over the
// time, a cut, the extreme places and the contacts, a path for the keyboard, and the same figures as
// a table. Views of one group="..." are turned, cut and coloured together, and tell the same place;
// the one with "leads" has the controls, in the element named by controls="..." if one is.
// against="..." shows what this plan changes against another. The page gives words, units and mark.

import { typedPlace } from "./corners";
import { coveredAt, lasting, lastOf, momentAt, shareOf, valuesAt } from "./course";
import { counterpart, differenceOf } from "./difference";
import { Figures } from "./part-figures";
import { Controls } from "./part-controls";
import { piece } from "./pieces";
import { type Axis, type Found, type Pose, Stage } from "./stage";
import { type Group, joined, type Member } from "./view-group";
import { type Quantity, unpacked, type View } from "./view-pack";
import { Words } from "./words";

const TURN = 15;
const NEARER = 0.85;

class PartView extends HTMLElement implements Member {
  private stage: Stage | null = null;
  private quantity: Quantity | null = null;
  private moment = 0;
  private watcher: ResizeObserver | null = null;
  private group: Group | null = null;
  private words = new Words();
  private figures = new Figures(this, this.words);
  private controls: Controls | null = null;
  private readonly tip = piece("output", "pv-tip");
  private readonly legend = piece("div", "pv-legend");

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
    if (this.stage === null || this.quantity === null) this.legend.replaceChildren();
    else this.legend.replaceChildren(...this.figures.legend(this.stage.shown, this.quantity));
    this.controls?.chose(this.quantity);
  }

  goTo(part: number): void {
    if (this.stage === null) return;
    const view = this.stage.shown;
    this.moment = momentAt(view, part);
    this.stage.colour(this.quantity, this.moment);
    const time = lasting(view.course?.times_s[this.moment] ?? 0);
    const first = view.course?.first_s?.[this.moment];
    if (first !== undefined) {
      this.controls?.tell(this.words.say("first after %(first)s, other after %(other)s", { first: lasting(first), other: time }));
      return;
    }
    const share = this.figures.number(100 * coveredAt(view, this.moment));
    this.controls?.tell(this.words.say("after %(time)s, copper covers %(share)s %%", { time, share }));
  }

  cut(axis: string, part: number): void {
    this.stage?.cutAt(axis as Axis, part);
  }

  point(found: Found | null): void {
    if (this.stage === null) return;
    const here =
      found && counterpart(this.stage.shown, found.body.name, found.triangle, found.body.triangles.length / 3, found.place);
    this.stage.mark(found && here ? found.place : null);
    this.tell(found && here ? { ...here, place: found.place } : null);
  }

  pointAt(which: "least" | "greatest"): void {
    const own = this.extremes();
    if (own === undefined) return;
    this.stage?.mark(own[which].at_m);
    this.tip.textContent = this.figures.found(own, which);
  }

  /** Turns so that the extreme place is seen, and names it; others of the group name their own. */
  find(which: "least" | "greatest"): void {
    const own = this.extremes();
    if (own === undefined) return;
    this.look(own[which].at_m, this.figures.found(own, which));
    for (const other of this.group?.others ?? []) other.pointAt(which);
  }

  /** Turns so that a place is seen, and says what it is. */
  look(place: readonly [number, number, number], said: string): void {
    const seen = this.stage?.look(place) ?? false;
    this.tip.textContent = seen ? said : `${said}. ${this.words.say("It lies hidden: cut the part to see it.")}`;
    if (this.tip.getBoundingClientRect().top < 0) this.tip.parentElement?.scrollIntoView({ block: "start" });
  }

  show(role: string, shown: boolean): void {
    this.stage?.show(role, shown);
  }

  /** This view and, of its group, all others. */
  get all(): Member[] {
    return [this, ...(this.group?.others ?? [])];
  }

  private async load(): Promise<void> {
    this.words = Words.of(this);
    this.figures = new Figures(this, this.words);
    try {
      const view = await this.fetched(this.getAttribute("src"));
      const against = this.getAttribute("against");
      const shown = against === null ? view : differenceOf(await this.fetched(against), view);
      if (shown === null) this.replaceChildren(this.getAttribute("instead") ?? "");
      else this.build(shown);
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      this.replaceChildren(this.words.say("The part cannot be shown (%(why)s); its figures are in the tables.", { why }));
    }
  }

  private async fetched(address: string | null): Promise<View> {
    const answer = await fetch(address ?? "");
    if (!answer.ok) throw new Error(this.words.say("the server answered %(status)s", { status: answer.status }));
    return unpacked(await answer.arrayBuffer());
  }

  private build(view: View): void {
    const stage = (this.stage = new Stage(view));
    this.moment = lastOf(view);
    const frame = piece("div", "pv-stage large");
    stage.canvas.tabIndex = 0;
    stage.canvas.setAttribute("role", "img");
    const keys = "Arrow keys turn it, plus and minus come nearer and go away.";
    stage.canvas.setAttribute("aria-label", `${this.getAttribute("label") ?? ""}. ${this.words.say(keys)}`);
    frame.append(stage.canvas, this.tip);
    const name = this.getAttribute("group");
    const leads = name === null || this.hasAttribute("leads");
    this.replaceChildren(frame);
    this.controls = new Controls(view, this, this.figures);
    const place = document.getElementById(this.getAttribute("controls") ?? "");
    if (leads) (place ?? this).append(this.legend, ...this.controls.all(view));
    else this.append(this.controls.when);
    this.append(...this.figures.table(view));
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
          if (queued !== null) this.under(stage.under(queued.offsetX, queued.offsetY));
          queued = null;
        });
      }
      queued = event;
    });
    stage.canvas.addEventListener("click", (event) => {
      const found = stage.under(event.offsetX, event.offsetY);
      this.under(found);
      this.pick(found);
    });
    stage.canvas.addEventListener("pointerleave", () => this.under(null));
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

  /** What lies under the pointer is told here, and by the others of the group. */
  private under(found: Found | null): void {
    this.tell(found);
    for (const other of this.group?.others ?? []) other.point(found);
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
    const { quantity } = this;
    const values = quantity === null ? undefined : valuesAt(this.stage.shown, found.body, quantity.key, this.moment);
    this.tip.textContent =
      quantity === null || values === undefined
        ? this.words.say("%(thing)s at %(place)s", {
            thing: this.words.named(found.body.name),
            place: this.figures.place(found.place),
          })
        : this.figures.at(quantity, values[found.triangle] as number, found.place);
  }

  /** The quantity that is shown, with the extremes of this part alone. */
  private extremes(): Quantity | undefined {
    return this.quantities().find(({ key }) => key === this.quantity?.key);
  }

  /** The share of the whole time that a moment is. */
  shareAt(moment: number): number {
    return this.stage === null ? 1 : shareOf(this.stage.shown, moment);
  }
}

customElements.define("part-view", PartView);
