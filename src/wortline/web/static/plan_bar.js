// The bar at the foot of the plan page: what it says, what follows in full, and, when somebody else
// has kept something since, the way on. It keeps its height; what is longer lies over the page.

import { part, sentence } from "./plan_parts.js";

const bar = part("moved-bar", HTMLElement);
const all = part("show-all", HTMLButtonElement);
const changed = part("changed", HTMLElement);
const newer = part("newer", HTMLElement);
const said = part("said", HTMLElement);

/** Says something of the last act, until the next one. @param {string} words */
export function say(words) {
  if (said.textContent !== words) said.textContent = words;
}

/** Shows all that follows, or puts it away. @param {boolean} is */
function open(is) {
  changed.hidden = !is;
  bar.classList.toggle("is-open", is);
  all.setAttribute("aria-expanded", String(is));
}

all.addEventListener("click", () => open(changed.hidden !== false));
bar.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || changed.hidden) return;
  open(false);
  all.focus();
});

/** Shows whether anything is moved. @param {boolean} some */
export function showSome(some) {
  part("accept", HTMLFormElement).hidden = !some;
  part("nothing-moved", HTMLElement).hidden = some;
  part("not-kept", HTMLElement).hidden = !some;
  all.hidden = !some;
  if (!some) {
    open(false);
    newer.hidden = true;
  }
}

/** @typedef {{kind: string, name: string, why: string, compare: string}} Newer */

/**
 * Tells what was kept elsewhere since, and offers to look at it and to keep one's own on top.
 * @param {Newer[]} found
 * @param {() => void} onTop
 */
export function tellNewer(found, onTop) {
  const rows = found.map((each) => {
    const row = document.createElement("p");
    const why = each.why ? `: ${each.why}` : "";
    row.append(`${sentence(`The ${each.kind} ${each.name} was changed elsewhere since${why}`)} `);
    const look = document.createElement("a");
    look.href = each.compare;
    look.target = "_blank";
    look.textContent = "Look at what changed";
    row.append(look);
    return row;
  });
  const act = document.createElement("button");
  act.type = "button";
  act.className = "first";
  act.textContent = "Keep mine on top";
  act.addEventListener("click", onTop);
  const words = document.createElement("p");
  words.append("What you moved is put into the newest; everything else of it stays. ", act);
  newer.replaceChildren(...rows, words);
  newer.hidden = false;
}

/** Puts the offer away. */
export function hideNewer() {
  newer.hidden = true;
}
