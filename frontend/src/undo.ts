// Steps back through what was typed into a form. A run of keys in one field is one step.

export type Answers = Readonly<Record<string, string>>;

const PAUSE_MS = 1500;
const MOST = 100;

export class Steps {
  private readonly past: Answers[] = [];
  private field = "";
  private moment = -Infinity;

  constructor(private now: Answers) {}

  /** Whether there is anything to take back. */
  get any(): boolean {
    return this.past.length > 0;
  }

  /** The answers after a change of one field at a moment [ms]. */
  changed(field: string, answers: Answers, moment: number): void {
    if (differing(this.now, answers).length === 0) return;
    const goesOn = field !== "" && field === this.field && moment - this.moment < PAUSE_MS;
    if (!goesOn) this.past.push(this.now);
    if (this.past.length > MOST) this.past.shift();
    this.now = answers;
    this.field = field;
    this.moment = moment;
  }

  /** The answers as they were a step before; null where there is no step. */
  back(): Answers | null {
    const before = this.past.pop();
    if (before === undefined) return null;
    this.now = before;
    this.field = "";
    return before;
  }
}

/** The names whose answers differ. */
export function differing(one: Answers, other: Answers): string[] {
  return Object.keys(other).filter((name) => one[name] !== other[name]);
}
