// <run-chart src="..." live>: volts measured and expected, and amps, over the hours of a run.

import uPlot from "uplot";
import { type Chart, columnsOf, lastInWords } from "./chart-data";
import { marked, type Reader } from "./scale";
import { Words } from "./words";

const EVERY_MS = 5000;
const HEIGHT = 300;
const PAPER = 640;
/** Width on a sheet [CSS pixels]. */

class RunChart extends HTMLElement {
  private plot: uPlot | null = null;
  private timer = 0;
  private printing = false;
  private latest: Chart | null = null;
  private readonly watcher = new ResizeObserver(() => this.fit());
  private readonly dark = window.matchMedia("(prefers-color-scheme: dark)");
  private readonly stage = document.createElement("div");
  private readonly said = document.createElement("p");
  private words = new Words();
  private reader: Reader = { us: false, comma: false };
  private readonly repaint = (): void => this.draw(true);
  private readonly print = (event: Event): void => {
    this.printing = event.type === "beforeprint";
    this.draw(true);
  };

  connectedCallback(): void {
    this.stage.setAttribute("aria-hidden", "true");
    this.said.className = "quiet small";
    this.words = Words.of(this);
    this.reader = { us: false, comma: this.getAttribute("mark") === "," };
    this.dark.addEventListener("change", this.repaint);
    window.addEventListener("beforeprint", this.print);
    window.addEventListener("afterprint", this.print);
    this.watcher.observe(this);
    void this.load();
    if (this.hasAttribute("live")) {
      this.timer = window.setInterval(() => void this.load(), EVERY_MS);
    }
  }

  disconnectedCallback(): void {
    window.clearInterval(this.timer);
    this.watcher.disconnect();
    window.removeEventListener("beforeprint", this.print);
    window.removeEventListener("afterprint", this.print);
    this.dark.removeEventListener("change", this.repaint);
    this.plot?.destroy();
    this.plot = null;
  }

  private async load(): Promise<void> {
    try {
      const answer = await fetch(this.getAttribute("src") ?? "");
      if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
      this.latest = (await answer.json()) as Chart;
      this.draw(false);
    } catch (error) {
      // The page's banner tells of a cut; the curves stay as they were.
      const why = error instanceof Error ? error.message : String(error);
      this.said.textContent = this.words.say("Not up to date: %(why)s.", { why });
    }
  }

  private draw(anew: boolean): void {
    if (this.latest === null) return;
    const columns = columnsOf(this.latest);
    this.said.textContent = lastInWords(this.latest, this.words, this.reader);
    if (anew || this.plot === null) {
      this.plot?.destroy();
      this.replaceChildren(legend(this.words), this.stage, this.said);
      this.plot = new uPlot(this.options(), columns, this.stage);
    } else {
      this.plot.setData(columns);
    }
  }

  private fit(): void {
    if (!this.printing) this.plot?.setSize({ width: this.clientWidth, height: HEIGHT });
  }

  private options(): uPlot.Options {
    const style = getComputedStyle(this);
    const colour = (name: string): string =>
      style.getPropertyValue(this.printing ? `--paper-${name}` : `--${name}`).trim();
    const numbers = (_plot: uPlot, ticks: number[]): string[] =>
      ticks.map((tick) => marked(String(Number(tick.toPrecision(6))), this.reader));
    const axis = { stroke: colour("quiet"), grid: { stroke: colour("line"), width: 1 }, values: numbers };
    const side = { ...axis, labelSize: 20, size: roomFor };
    return {
      width: this.printing ? PAPER : this.clientWidth,
      height: HEIGHT,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false }, V: { range: fromZero(1.15) }, A: { range: fromZero(1.6) } },
      axes: [
        { ...axis, label: this.words.say("hours"), labelSize: 20 },
        { ...side, scale: "V", label: this.words.say("volts") },
        { ...side, scale: "A", side: 1, label: this.words.say("amps"), grid: { show: false } },
      ],
      series: [
        {},
        { scale: "V", stroke: colour("ink"), width: 2 },
        { scale: "V", stroke: colour("quiet"), width: 2, dash: [7, 5], points: { show: false } },
        { scale: "A", stroke: colour("accent"), width: 2 },
      ],
    };
  }
}

/** As wide as the longest number beside it [CSS pixels], so that the axis' name lies on none. */
function roomFor(_plot: uPlot, numbers: string[] | null): number {
  const longest = Math.max(0, ...(numbers ?? []).map(({ length }) => length));
  return 24 + 7 * longest;
}

/** A scale from zero to some way above the highest value, so that two curves stand apart. */
function fromZero(room: number): uPlot.Range.Function {
  return (_plot, _low, high) => [0, room * Math.max(high ?? 0, 0.1)];
}

function legend(words: Words): HTMLElement {
  const made = document.createElement("div");
  made.className = "rc-legend";
  for (const [name, text] of [
    ["volts", words.say("volts")],
    ["expected", words.say("volts expected")],
    ["amps", words.say("amps")],
  ] as const) {
    const one = document.createElement("span");
    one.className = name;
    one.textContent = text;
    made.append(one);
  }
  return made;
}

customElements.define("run-chart", RunChart);
