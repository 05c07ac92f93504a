// What every page has: pieces that ask the server anew, answers that are kept while typed, and a
// word where the server does not answer.
import htmx from "htmx.org";
import { keepAnswers } from "./keep";
import { printPictures } from "./print";

declare global {
  interface Window {
    htmx: typeof htmx;
  }
}

window.htmx = htmx;

const kept = new WeakSet<HTMLFormElement>();

function keepForms(): void {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-keep]")) {
    if (kept.has(form)) continue;
    kept.add(form);
    keepAnswers(form, window.localStorage);
  }
}

// htmx listens for the same moment, and has done its part when this is called.
document.addEventListener("DOMContentLoaded", keepForms);
document.addEventListener("htmx:afterSwap", keepForms);

printPictures();

const cut = document.getElementById("cut");
document.addEventListener("htmx:sendError", () => cut?.removeAttribute("hidden"));
document.addEventListener("htmx:afterOnLoad", () => cut?.setAttribute("hidden", ""));

if (document.querySelector("part-view")) {
  void import("./part-view");
}
if (document.querySelector("photo-corners")) {
  void import("./photo-corners");
}
if (document.querySelector("rig-view")) {
  void import("./rig-view");
}
if (document.querySelector("run-chart")) {
  void import("./run-chart");
}
if (document.querySelector("hand-readings")) {
  void import("./hand-readings");
}
if (document.querySelector("alarm-bell")) {
  void import("./alarm-bell");
}
