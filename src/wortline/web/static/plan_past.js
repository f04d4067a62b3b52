// What was moved, step by step, so that any step can be taken back and done again.
// A state says for every lever that was ever moved what it says then; it does not depend on what
// is kept, so undoing reaches across an accepted change.

/** @typedef {Record<string, string>} State */

export class Past {
  /** @param {State[]} states @param {number} at */
  constructor(states = [{}], at = 0) {
    this.states = states;
    this.at = at;
  }

  /** @returns {State} */
  get now() {
    return this.states[this.at] ?? {};
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at < this.states.length - 1;
  }

  /** Adds a step; what had been undone is then gone. @param {State} state */
  step(state) {
    if (same(state, this.now)) return;
    this.states = [...this.states.slice(0, this.at + 1), state].slice(-200);
    this.at = this.states.length - 1;
  }

  undo() {
    if (this.canUndo) this.at -= 1;
  }

  redo() {
    if (this.canRedo) this.at += 1;
  }

  /** @param {string | null} written */
  static read(written) {
    try {
      const { states, at } = JSON.parse(written ?? "");
      const fine =
        Array.isArray(states) &&
        states.length > 0 &&
        Number.isInteger(at) &&
        at >= 0 &&
        at < states.length &&
        states.every(
          (each) =>
            each !== null &&
            typeof each === "object" &&
            Object.values(each).every((value) => typeof value === "string"),
        );
      if (fine) return new Past(states, at);
    } catch {
      // Nothing kept here, or something else: begin anew.
    }
    return new Past();
  }

  written() {
    return JSON.stringify({ states: this.states, at: this.at });
  }
}

/** @param {State} one @param {State} other */
function same(one, other) {
  const keys = new Set([...Object.keys(one), ...Object.keys(other)]);
  return [...keys].every((key) => one[key] === other[key]);
}
