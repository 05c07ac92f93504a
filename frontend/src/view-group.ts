// Views that are looked at together: one camera, one choice, one scale. A page puts them in a group
// by the same name in their attribute "group".

import type { Found, Pose } from "./stage";
import type { Quantity } from "./view-pack";
import { jointScale } from "./course";

/** A view as the others of its group know it. */
export interface Member {
  quantities(): readonly Quantity[];
  follow(pose: Pose): void;
  choose(key: string): void;
  goTo(share: number): void;
  cut(axis: string, share: number): void;
  /** Tells and marks the same place of its own part, or no place. */
  point(found: Found | null): void;
  /** Tells and marks the extreme place of its own part, without turning. */
  pointAt(which: "least" | "greatest"): void;
}

const GROUPS = new Map<string, Set<Member>>();

/** Joins a group; returns how to speak to its other members, and how to leave. */
export function joined(name: string | null, member: Member): Group {
  const members = name === null ? new Set<Member>() : (GROUPS.get(name) ?? new Set<Member>());
  if (name !== null) GROUPS.set(name, members);
  members.add(member);
  return new Group(members, member);
}

export class Group {
  constructor(
    private readonly members: Set<Member>,
    private readonly own: Member,
  ) {}

  get others(): Member[] {
    return [...this.members].filter((one) => one !== this.own);
  }

  leave(): void {
    this.members.delete(this.own);
  }

  /** The scale of a quantity that serves all members. */
  scaled(quantity: Quantity): Quantity {
    const same = this.others.flatMap((one) => one.quantities().filter(({ key }) => key === quantity.key));
    return same.length === 0 ? quantity : jointScale(quantity, same);
  }
}
