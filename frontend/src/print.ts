// Pictures for paper: what a 3D canvas shows is gone once it is on the screen, so that a browser
// prints it empty. For as long as it prints, a copy stands in its place.

/** Sent to a canvas that shall show its picture at once, to be copied. */
export const DRAW_NOW = "draw-now";

const STAGES = "part-view .pv-stage canvas, rig-view .pv-stage canvas";

export function printPictures(): void {
  window.addEventListener("beforeprint", () => {
    takenAway(); // a browser may say twice that it is going to print
    for (const canvas of document.querySelectorAll<HTMLCanvasElement>(STAGES)) copied(canvas);
  });
  window.addEventListener("afterprint", takenAway);
}

function takenAway(): void {
  for (const one of document.querySelectorAll(".printed")) one.remove();
}

function copied(canvas: HTMLCanvasElement): void {
  canvas.dispatchEvent(new Event(DRAW_NOW));
  const copy = document.createElement("canvas");
  copy.className = "printed";
  copy.width = canvas.width;
  copy.height = canvas.height;
  copy.getContext("2d")?.drawImage(canvas, 0, 0);
  canvas.after(copy);
}
