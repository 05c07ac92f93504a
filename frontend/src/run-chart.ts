// <run-chart src="..." live>: volts measured and expected, and amps, over the hours of a run.

import uPlot from "uplot";
import { type Chart, columnsOf, lastInWords } from "./chart-data";

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
  private readonly words = document.createElement("p");
  private readonly repaint = (): void => this.draw(true);
  private readonly print = (event: Event): void => {
    this.printing = event.type === "beforeprint";
    this.draw(true);
  };

  connectedCallback(): void {
    this.stage.setAttribute("aria-hidden", "true");
    this.words.className = "quiet small";
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
      this.words.textContent = error instanceof Error ? `Not up to date: ${error.message}.` : "";
    }
  }

  private draw(anew: boolean): void {
    if (this.latest === null) return;
    const columns = columnsOf(this.latest);
    this.words.textContent = lastInWords(this.latest);
    if (anew || this.plot === null) {
      this.plot?.destroy();
      this.replaceChildren(legend(), this.stage, this.words);
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
    const axis = { stroke: colour("quiet"), grid: { stroke: colour("line"), width: 1 } };
    return {
      width: this.printing ? PAPER : this.clientWidth,
      height: HEIGHT,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false }, V: { range: fromZero(1.15) }, A: { range: fromZero(1.6) } },
      axes: [
        { ...axis, label: "hours", labelSize: 20 },
        { ...axis, scale: "V", label: "volts", labelSize: 20 },
        { ...axis, scale: "A", side: 1, label: "amps", labelSize: 20, grid: { show: false } },
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

/** A scale from zero to some way above the highest value, so that two curves stand apart. */
function fromZero(room: number): uPlot.Range.Function {
  return (_plot, _low, high) => [0, room * Math.max(high ?? 0, 0.1)];
}

function legend(): HTMLElement {
  const made = document.createElement("div");
  made.className = "rc-legend";
  for (const [name, words] of [
    ["volts", "volts"],
    ["expected", "volts expected"],
    ["amps", "amps"],
  ] as const) {
    const one = document.createElement("span");
    one.className = name;
    one.textContent = words;
    made.append(one);
  }
  return made;
}

customElements.define("run-chart", RunChart);
