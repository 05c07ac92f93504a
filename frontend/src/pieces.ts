// Small pieces of a page that elements build their controls from.

export function piece(tag: string, name = "", words = ""): HTMLElement {
  const made = document.createElement(tag);
  if (name !== "") made.className = name;
  if (words !== "") made.textContent = words;
  return made;
}

export function button(words: string, act: () => void): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "plain";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

export function select(options: readonly (readonly [string, string])[]): HTMLSelectElement {
  const made = document.createElement("select");
  made.append(...options.map(([value, words]) => new Option(words, value)));
  return made;
}

export function slider(low: number, high: number, step: number, value: number): HTMLInputElement {
  const made = document.createElement("input");
  made.type = "range";
  made.min = String(low);
  made.max = String(high);
  made.step = String(step);
  made.value = String(value);
  return made;
}

export function labelled(words: string, control: HTMLElement): HTMLLabelElement {
  const made = document.createElement("label");
  made.append(`${words} `, control);
  return made;
}

/** A table that may be wider than the screen, with a head of words and rows of texts. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): HTMLElement {
  const made = document.createElement("table");
  const top = made.createTHead().insertRow();
  for (const words of head) {
    const cell = piece("th", "", words) as HTMLTableCellElement;
    cell.scope = "col";
    top.append(cell);
  }
  const body = made.createTBody();
  for (const [name, ...texts] of rows) {
    const row = body.insertRow();
    const first = piece("th", "", name) as HTMLTableCellElement;
    first.scope = "row";
    row.append(first);
    for (const text of texts) row.insertCell().textContent = text;
  }
  const scroll = piece("div", "scroll");
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", head[0] ?? "");
  scroll.append(made);
  return scroll;
}
