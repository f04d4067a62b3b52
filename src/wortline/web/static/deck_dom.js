// Small things to build a page from.

/** @typedef {Node | string | null | false | undefined} Child */

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | boolean | ((event: Event) => void)>} [how] attributes; `on...` are listeners
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function el(tag, how = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(how)) {
    if (typeof value === "function") made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false) made.setAttribute(name, value);
  }
  made.append(...children.filter((each) => each !== null && each !== false && each !== undefined));
  return made;
}

/**
 * A thing to touch.
 * @param {string} words
 * @param {() => void} act
 * @param {string} [kind]
 * @param {string} [more] small words below
 */
export function touch(words, act, kind = "", more = "") {
  return el(
    "button",
    { type: "button", class: `touch ${kind}`.trim(), onclick: act },
    el("span", {}, words),
    more && el("small", {}, more),
  );
}

/** @param {number} minutes */
export function hoursMinutes(minutes) {
  const whole = Math.max(Math.floor(minutes + 1e-6), 0);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** How long from now, in words. @param {number} minutes */
export function soon(minutes) {
  if (minutes < 1) return "in less than 1 min";
  if (minutes < 90) return `in ${Math.round(minutes)} min`;
  return `in ${hoursMinutes(minutes)} h`;
}

/** How late, in words. @param {number} minutes */
export function late(minutes) {
  if (minutes < 1) return "now";
  return minutes < 90 ? `${Math.floor(minutes)} min late` : `${hoursMinutes(minutes)} h late`;
}

/** The wall clock of this device, so many minutes from now. @param {number} minutes */
export function wallClock(minutes) {
  const then = new Date(Date.now() + minutes * 60_000);
  return `${String(then.getHours()).padStart(2, "0")}:${String(then.getMinutes()).padStart(2, "0")}`;
}

/** The digits, as wide as the screen whatever fonts there are. @param {string} text @param {string} label */
export function face(text, label) {
  const place = el("div");
  place.innerHTML = '<svg viewBox="0 -4 344 110" role="img"><text x="2" y="101" font-size="138" textLength="340" lengthAdjust="spacingAndGlyphs"></text></svg>';
  const [svg, words] = [place.querySelector("svg"), place.querySelector("text")];
  svg?.setAttribute("aria-label", `${text} ${label}`);
  if (words) words.textContent = text;
  return place;
}
