// Numbers that were read move the steps still to come: the computer works them out, this device keeps
// them and shows them beside what was planned.

import { ask } from "./deck_sync.js";

/** @import { Deck, Step } from "./deck_types.js" */

/** @typedef {{id: string, text: string, was: string, plus_min: number | null, planned: number | null}} Moved */

/** What the steps said when the lot began, by step. @type {WeakMap<Step, {text: string, plus_min: number | null, planned: number | null}>} */
const first = new WeakMap();

/** Puts the day's new numbers into its steps; what has not moved is as planned. @param {Deck} deck @param {Moved[]} moved */
export function move(deck, moved) {
  const found = new Map(moved.map((each) => [each.id, each]));
  for (const step of deck.steps) {
    const plan = first.get(step) ?? planned(step);
    first.set(step, plan);
    const now = found.get(step.id);
    step.text = now?.text ?? plan.text;
    step.was = now?.was ?? "";
    if (step.due && plan.plus_min !== null) step.due.plus_min = now?.plus_min ?? plan.plus_min;
    if (step.ask) step.ask.planned = now?.planned ?? plan.planned;
  }
}

/** What a step said first; one kept with new numbers has the old ones beside it. @param {Step} step */
function planned(step) {
  return step.first ?? (step.first = { text: step.text, plus_min: step.due?.plus_min ?? null, planned: step.ask?.planned ?? null });
}

/** Asks for new numbers once for every entry that the computer has; tells whether anything moved. */
export class Moves {
  constructor() {
    this.asked = -1;
  }

  /** @param {Deck} deck @param {number} kept the last number of the record on this device */
  async look(deck, kept) {
    if (kept === this.asked) return false;
    this.asked = kept;
    try {
      const { ok, told } = await ask(`/api/lots/${deck.lot.number}/replanned`);
      if (!ok) return false;
      const before = JSON.stringify(deck.steps);
      move(deck, told.steps);
      return JSON.stringify(deck.steps) !== before;
    } catch {
      // asked again when the computer is back
      this.asked = -1;
      return false;
    }
  }
}
