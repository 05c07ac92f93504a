// Answers of a form are kept in the browser while they are typed, so that a sleeping phone, a cut
// network or a restarted server loses none. What the server sent wins where it differs from what it
// sent when the answers were kept. A form that was taken in keeps nothing. Each change can be undone.

import { type Answers, Steps, differing } from "./undo";

export interface Kept {
  /** What the fields held when the page came from the server. */
  sent: Record<string, string>;
  /** What they hold now. */
  typed: Record<string, string>;
}

export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

const PREFIX = "tankside-form-";

/** The answers to put back: those typed, where the server still sends what it sent then. */
export function restored(
  sent: Readonly<Record<string, string>>,
  kept: Kept | null,
): Record<string, string> {
  const found: Record<string, string> = {};
  if (kept === null) return found;
  for (const [name, value] of Object.entries(kept.typed)) {
    if (name in sent && kept.sent[name] === sent[name] && value !== sent[name]) {
      found[name] = value;
    }
  }
  return found;
}

/** What is kept under a key, or null where nothing readable is. */
export function keptUnder(shelf: Shelf, key: string): Kept | null {
  const text = shelf.getItem(PREFIX + key);
  if (text === null) return null;
  try {
    const held: unknown = JSON.parse(text);
    return isKept(held) ? held : null;
  } catch (error) {
    if (error instanceof SyntaxError) return null; // not ours, or cut off: as if nothing were kept
    throw error;
  }
}

function isKept(held: unknown): held is Kept {
  if (typeof held !== "object" || held === null) return false;
  const { sent, typed } = held as Partial<Kept>;
  return typeof sent === "object" && sent !== null && typeof typed === "object" && typed !== null;
}

type Answer = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

/** Puts kept answers back into a form, and keeps what is typed from now on. */
export function keepAnswers(form: HTMLFormElement, shelf: Shelf): void {
  const key = form.dataset["keep"] ?? "";
  const fields = [...form.elements].filter(
    (one): one is Answer => "name" in one && "value" in one && (one as Answer).name !== "",
  );
  const sent = valuesOf(fields);
  const back = restored(sent, keptUnder(shelf, key));
  for (const field of fields) {
    const value = back[nameOf(field)];
    if (value !== undefined) {
      put(field, value);
      field.dispatchEvent(new Event("change", { bubbles: true }));
    }
  }
  form.addEventListener("input", () => {
    const kept: Kept = { sent, typed: valuesOf(fields) };
    shelf.setItem(PREFIX + key, JSON.stringify(kept));
  });
  form.addEventListener("reset", () => shelf.removeItem(PREFIX + key));
  form.addEventListener("submit", () => {
    if (form.method === "get") shelf.removeItem(PREFIX + key); // all of it stands in the address
  });
  offerUndo(form, fields, sent);
}

/** A button beside the form's own, once there is something to undo. What was kept from before is
 * the first step. */
function offerUndo(form: HTMLFormElement, fields: readonly Answer[], sent: Answers): void {
  const words = document.body.dataset["undo"] ?? "";
  const row = [...form.querySelectorAll(".sticky, .row")]
    .filter((one) => one.querySelector("button:not([type=button])") !== null)
    .at(form.querySelector(".sticky") === null ? -1 : 0);
  if (words === "" || row === undefined || form.closest("hand-readings") !== null) return;
  const button = document.createElement("button");
  Object.assign(button, { type: "button", className: "plain undo", textContent: words });
  row.append(button);
  const steps = new Steps(sent);
  let undoing = false;
  const noted = (name: string, moment: number): void => {
    if (!undoing) steps.changed(name, valuesOf(fields), moment);
    button.hidden = button.hidden && !steps.any;
    button.disabled = !steps.any;
  };
  button.hidden = true;
  noted("", 0);
  const heard = (event: Event): void =>
    noted((event.target as Partial<Answer>).name ?? "", event.timeStamp);
  form.addEventListener("input", heard);
  form.addEventListener("change", heard);
  button.addEventListener("click", () => {
    const before = steps.back();
    if (before === null) return;
    undoing = true;
    const undone = new Set(differing(valuesOf(fields), before));
    for (const field of fields.filter((one) => undone.has(nameOf(one)))) {
      put(field, before[nameOf(field)] ?? "");
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.dispatchEvent(new Event("change", { bubbles: true }));
      if (field.type !== "hidden") field.scrollIntoView({ block: "nearest" });
    }
    undoing = false;
    noted("", 0);
  });
}

/** A box to tick is known by its value, too, since many may have one name. */
function nameOf(field: Answer): string {
  return isBox(field) ? `${field.name}=${field.value}` : field.name;
}

function isBox(field: Answer): field is HTMLInputElement {
  return field instanceof HTMLInputElement && field.type === "checkbox";
}

function put(field: Answer, value: string): void {
  if (isBox(field)) field.checked = value !== "";
  else field.value = value;
}

function valuesOf(fields: readonly Answer[]): Record<string, string> {
  return Object.fromEntries(
    fields.map((field) => [
      nameOf(field),
      isBox(field) ? (field.checked ? "ticked" : "") : field.value,
    ]),
  );
}
