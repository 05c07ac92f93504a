// The words of an element in the reader's language. The page hands over those that differ from the
// English that stands in the code, as JSON in the element's attribute "words".

export class Words {
  constructor(private readonly known: Readonly<Record<string, string>> = {}) {}

  static of(element: Element): Words {
    const given: unknown = JSON.parse(element.getAttribute("words") ?? "{}");
    return new Words(given as Record<string, string>);
  }

  /** A text with its values put in: "at %(place)s" and the like; "%%" is a per cent sign. */
  say(text: string, values: Readonly<Record<string, string | number>> = {}): string {
    const found = this.known[text] ?? text;
    return found.replace(/%\((\w+)\)s|%%/g, (whole, name: string | undefined) =>
      name === undefined ? "%" : String(values[name] ?? whole),
    );
  }

  /** A name of the packed view that ends in a number, such as "contact 2". */
  named(name: string): string {
    const [, kind, number] = /^(.*?)(?: (\d+))?$/.exec(name) ?? [];
    if (number === undefined) return this.say(name);
    return this.say(`${kind} %(number)s`, { number });
  }

  /** Where a place lies, phrase by phrase: "near the top, facing anode 2". */
  where(text: string): string {
    return text.split(", ").map((phrase) => this.named(phrase)).join(", ");
  }
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
