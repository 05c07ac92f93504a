// When the bell of a run rings: for alarms that nobody has answered, again and again; for a reading
// that is due, once.

export interface Standing {
  unseen: number;
  due: boolean;
}

export interface Bell {
  /** What was heard last. */
  heard: Standing;
  /** When it rang last [ms]. */
  rang: number;
}

export const SILENT: Bell = { heard: { unseen: 0, due: false }, rang: -Infinity };
export const AGAIN_MS = 8000;

/** The bell after a look at the run, and what it does: "alarm", "due", or nothing. */
export function rung(bell: Bell, now: Standing, at: number): [Bell, "alarm" | "due" | null] {
  const more = now.unseen > bell.heard.unseen;
  if (now.unseen > 0 && (more || at - bell.rang >= AGAIN_MS)) {
    return [{ heard: now, rang: at }, "alarm"];
  }
  if (now.due && !bell.heard.due) return [{ heard: now, rang: at }, "due"];
  return [{ heard: now, rang: bell.rang }, null];
}

/** What the page's piece says of the run. */
export function standingOf(data: Readonly<Record<string, string | undefined>>): Standing {
  return { unseen: Number(data["unseen"] ?? "0") || 0, due: data["due"] === "yes" };
}
