// The chosen photo with four marks to put on the panel's corners, by pointer or by arrow keys.
import { type Spot, firstCorners, held, typed } from "./corners";

const FIELDS = ["high_top", "low_top", "low_bottom", "high_bottom"];
const SVG = "http://www.w3.org/2000/svg";
const STEPS: Record<string, Spot> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

class PhotoCorners extends HTMLElement {
  private size: Spot = [1, 1];
  private spots: Spot[] = [];
  private outline = document.createElementNS(SVG, "polygon");
  private marks: SVGCircleElement[] = [];

  connectedCallback(): void {
    const chooser = document.getElementById(this.getAttribute("for") ?? "");
    if (!(chooser instanceof HTMLInputElement)) return;
    const taken = (): void => {
      const file = chooser.files?.[0];
      if (file !== undefined) this.load(file);
    };
    chooser.addEventListener("change", taken);
    taken(); // a photo may have been chosen before this script was there
  }

  private load(file: File): void {
    const reader = new FileReader();
    reader.addEventListener("load", () => {
      const image = new Image();
      image.alt = "";
      image.addEventListener("load", () => this.show(image));
      image.src = String(reader.result);
    });
    reader.readAsDataURL(file);
  }

  private show(image: HTMLImageElement): void {
    const [width, height] = [image.naturalWidth, image.naturalHeight];
    this.size = [width, height];
    this.spots = firstCorners(width, height);
    const drawing = document.createElementNS(SVG, "svg");
    drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
    const radius = String(Math.max(width, height) / 45);
    this.marks = FIELDS.map((field, number) => {
      const mark = document.createElementNS(SVG, "circle");
      mark.setAttribute("r", radius);
      mark.setAttribute("tabindex", "0");
      mark.setAttribute("role", "button");
      const label = document.querySelector(`label[for=${field}]`)?.textContent ?? field;
      mark.setAttribute("aria-label", label);
      this.listen(mark, number, drawing);
      return mark;
    });
    drawing.append(this.outline, ...this.marks);
    const stage = document.createElement("div");
    stage.className = "pc-stage";
    stage.append(image, drawing);
    this.replaceChildren(stage);
    this.draw();
  }

  private listen(mark: SVGCircleElement, number: number, drawing: SVGSVGElement): void {
    mark.addEventListener("pointerdown", (event) => mark.setPointerCapture(event.pointerId));
    mark.addEventListener("pointermove", (event) => {
      if (event.buttons === 0) return;
      const box = drawing.getBoundingClientRect();
      const across = (event.clientX - box.left) / box.width;
      const down = (event.clientY - box.top) / box.height;
      this.move(number, [across * this.size[0], down * this.size[1]]);
    });
    mark.addEventListener("keydown", (event) => {
      const step = STEPS[event.key];
      const spot = this.spots[number];
      if (step === undefined || spot === undefined) return;
      event.preventDefault();
      const far = event.shiftKey ? 20 : 2;
      this.move(number, [spot[0] + far * step[0], spot[1] + far * step[1]]);
    });
  }

  private move(number: number, spot: Spot): void {
    this.spots[number] = held(spot, ...this.size);
    this.draw();
  }

  private draw(): void {
    this.outline.setAttribute("points", this.spots.map(typed).join(" "));
    this.spots.forEach((spot, number) => {
      this.marks[number]?.setAttribute("cx", String(spot[0]));
      this.marks[number]?.setAttribute("cy", String(spot[1]));
      const field = document.getElementById(FIELDS[number] ?? "");
      if (field instanceof HTMLInputElement) field.value = typed(spot);
    });
  }
}

customElements.define("photo-corners", PhotoCorners);
