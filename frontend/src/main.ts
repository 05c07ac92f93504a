// What every page has: pieces that ask the server anew, and answers that are kept while typed.
import htmx from "htmx.org";
import { keepAnswers } from "./keep";

declare global {
  interface Window {
    htmx: typeof htmx;
  }
}

window.htmx = htmx;

// htmx listens for the same moment, and has done its part when this is called.
document.addEventListener("DOMContentLoaded", () => {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-keep]")) {
    keepAnswers(form, window.localStorage);
  }
});

if (document.querySelector("part-view")) {
  void import("./part-view");
}
