// <alarm-bell on off>: a button that lets this device sound for alarms and due readings. A browser
// sounds only after a touch, so it is off until the person switches it on; the page's title tells
// of an alarm in any case.

import { type Bell, SILENT, rung, standingOf } from "./bell";

const LOOK_MS = 1000;
const TONES = { alarm: [880, 660, 880, 660], due: [660] };

class AlarmBell extends HTMLElement {
  private bell: Bell = SILENT;
  private sound: AudioContext | null = null;
  private timer = 0;
  private named = document.title;
  private readonly button = document.createElement("button");

  connectedCallback(): void {
    this.named = document.title;
    this.button.type = "button";
    this.button.className = "plain";
    this.button.addEventListener("click", () => this.turn());
    this.replaceChildren(this.button);
    this.hidden = false;
    this.label();
    this.timer = window.setInterval(() => this.look(), LOOK_MS);
  }

  disconnectedCallback(): void {
    window.clearInterval(this.timer);
    document.title = this.named;
    void this.sound?.close();
    this.sound = null;
  }

  private turn(): void {
    if (this.sound === null) {
      this.sound = new AudioContext();
      this.play([660]);
    } else {
      void this.sound.close();
      this.sound = null;
    }
    this.label();
  }

  private label(): void {
    const on = this.sound !== null;
    this.button.textContent = this.getAttribute(on ? "on" : "off");
    this.button.setAttribute("aria-pressed", String(on));
  }

  private look(): void {
    const standing = standingOf(document.getElementById("now")?.dataset ?? {});
    document.title = standing.unseen > 0 ? `(!) ${this.named}` : this.named;
    const [bell, what] = rung(this.bell, standing, performance.now());
    this.bell = bell;
    if (what !== null) this.play(TONES[what]);
  }

  private play(tones: readonly number[]): void {
    const sound = this.sound;
    if (sound === null) return;
    navigator.vibrate?.(200);
    tones.forEach((tone, k) => {
      const source = sound.createOscillator();
      const loud = sound.createGain();
      source.frequency.value = tone;
      loud.gain.value = 0.25;
      source.connect(loud).connect(sound.destination);
      source.start(sound.currentTime + 0.25 * k);
      source.stop(sound.currentTime + 0.25 * k + 0.2);
    });
  }
}

customElements.define("alarm-bell", AlarmBell);
