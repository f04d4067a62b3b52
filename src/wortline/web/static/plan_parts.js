// The parts of the plan page, and how a sentence is said on it.

/**
 * @template {Element} T
 * @param {string} id
 * @param {new () => T} kind
 * @returns {T}
 */
export function part(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`no ${id} on this page`);
  return found;
}

/** @param {string} text */
export function sentence(text) {
  const ended = /[.?]$/.test(text) ? text : `${text}.`;
  return ended.slice(0, 1).toUpperCase() + ended.slice(1);
}

const NUMBER = /[+-]?\d+(?:[.,]\d+)?/g;

/**
 * A number alone stands for the number in what the field said before: its unit and words stay.
 * @param {string} typed
 * @param {string} before
 * @returns {string}
 */
export function inItsWords(typed, before) {
  const bare = typed.match(NUMBER);
  if (bare?.length !== 1 || bare[0] !== typed || before.match(NUMBER)?.length !== 1) return typed;
  return before.replace(NUMBER, typed);
}
