// <hand-readings src key waiting kept refused>: the form of a run by hand. A reading is kept here
// first and sent then; while the server does not answer it waits, and is sent when it does.

import { type Reading, asSent, kept, waiting, without } from "./reading-queue";

const AGAIN_MS = 4000;

interface Answer {
  error?: string;
  place?: number;
}

class HandReadings extends HTMLElement {
  private timer = 0;
  private sending = false;
  private readonly soon = (): void => void this.send();
  private readonly submitted = (event: Event): void => this.taken(event);

  connectedCallback(): void {
    this.form?.addEventListener("submit", this.submitted);
    window.addEventListener("online", this.soon);
    this.timer = window.setInterval(this.soon, AGAIN_MS);
    this.soon();
  }

  disconnectedCallback(): void {
    this.form?.removeEventListener("submit", this.submitted);
    window.removeEventListener("online", this.soon);
    window.clearInterval(this.timer);
  }

  private get form(): HTMLFormElement | null {
    return this.querySelector("form");
  }

  private get key(): string {
    return this.getAttribute("key") ?? "";
  }

  private taken(event: Event): void {
    event.preventDefault();
    const form = this.form;
    if (form === null) return;
    const text = (name: string): string =>
      (form.elements.namedItem(name) as HTMLInputElement | null)?.value ?? "";
    kept(window.localStorage, this.key, {
      volts: text("volts"),
      amps: text("amps"),
      bath: text("bath"),
      level: text("level"),
      typed: Date.now(),
    });
    form.reset();
    void this.send();
  }

  private async send(): Promise<void> {
    const held = waiting(window.localStorage, this.key);
    if (held.length === 0 || this.sending) return;
    this.sending = true;
    try {
      const answer = await fetch(this.getAttribute("src") ?? "", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ readings: asSent(held, Date.now()) }),
      });
      await this.answered(answer, held);
    } catch (error) {
      if (!(error instanceof TypeError)) throw error; // fetch says so where no server answers
      this.say(`${this.words("waiting")} ${held.length}`, "waiting");
    } finally {
      this.sending = false;
    }
  }

  private async answered(answer: Response, held: readonly Reading[]): Promise<void> {
    if (answer.ok) {
      without(window.localStorage, this.key, held);
      this.say(this.words("kept"), "read");
      const now = document.getElementById("now");
      if (now !== null) window.htmx.trigger(now, "refresh");
      return;
    }
    if (answer.status >= 500) {
      this.say(`${this.words("waiting")} ${held.length}`, "waiting");
      return;
    }
    const said = (await answer.json().catch(() => ({}))) as Answer;
    const wrong = held[said.place ?? held.length - 1];
    if (wrong !== undefined) this.back(wrong);
    this.say(`${this.words("refused")} ${said.error ?? answer.statusText}`, "wrong");
  }

  /** What cannot be taken in goes back into the form, to be mended. */
  private back(wrong: Reading): void {
    without(window.localStorage, this.key, [wrong]);
    for (const name of ["volts", "amps", "bath", "level"] as const) {
      const field = this.form?.elements.namedItem(name) as HTMLInputElement | null;
      if (field) field.value = wrong[name];
    }
  }

  private words(name: string): string {
    return this.getAttribute(name) ?? "";
  }

  private say(words: string, kind: string): void {
    const place = this.querySelector("[role=status]");
    if (place === null) return;
    place.textContent = words;
    place.className = `said ${kind}`;
  }
}

customElements.define("hand-readings", HandReadings);
