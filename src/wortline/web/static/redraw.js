// Pages whose picture follows from a form: a touch or a key asks the server, which sends the part
// that changes. When it does not answer, the old is marked as old, what was done is kept and asked
// again, and the page mends itself.

const WAIT_MS = 250;
const AGAIN_MS = 1000;
const NARROW = matchMedia("(max-width: 40rem)");

/**
 * @template {Element} T
 * @param {string} id
 * @param {new () => T} kind
 * @returns {T}
 */
function part(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`no ${id} on this page`);
  return found;
}

const ask = part("ask", HTMLFormElement);
const now = part("now", HTMLElement);
const old = part("old", HTMLElement);
const wrong = part("wrong", HTMLElement);
const told = part("told", HTMLElement);
const from = ask.dataset["part"] ?? "";

/** Touches that the server has not answered yet, in their order. @type {string[]} */
let waiting = [];
/** The step that is asked for, which says how every handle stands. @type {string | null} */
let step = null;
let asked = 0;

/** What the form says, without what is empty. @returns {URLSearchParams} */
function said() {
  const query = new URLSearchParams();
  for (const [name, value] of new FormData(ask)) {
    if (typeof value !== "string" || value.trim() === "") continue;
    const hand = ["handles", "hose_ends", "pump", "water", "step"].includes(name);
    if (step !== null && hand) continue;
    query.append(name, value);
  }
  if (step !== null) query.set("step", step);
  return query;
}

/** How wide the picture may be. @returns {number} */
function room() {
  const place = now.querySelector("[data-room]") ?? now;
  return Math.min(1400, Math.max(280, Math.floor(place.clientWidth)));
}

/** Marks what stands there as old, or as fresh. @param {boolean} isOld */
function mark(isOld) {
  now.classList.toggle("stale", isOld);
  old.hidden = !isOld;
}

/** What has the focus, by a key that the redrawn part has again. @returns {string | null} */
function focused() {
  const at = document.activeElement;
  return at && now.contains(at) ? at.getAttribute("data-key") : null;
}

/** @param {string} html */
function put(html) {
  const key = focused();
  const open = new Map(
    [...now.querySelectorAll("details[data-key]")].map((each) => [
      each.getAttribute("data-key"),
      each.hasAttribute("open"),
    ]),
  );
  now.innerHTML = html;
  for (const each of now.querySelectorAll("details[data-key]")) {
    const was = open.get(each.getAttribute("data-key"));
    if (was !== undefined) each.toggleAttribute("open", was);
  }
  if (key !== null) {
    const again = now.querySelector(`[data-key="${CSS.escape(key)}"]`);
    const near = again ?? now.querySelector("[data-key^=step]");
    if (near instanceof HTMLElement || near instanceof SVGElement) near.focus({ preventScroll: true });
  }
}

/** Asks the server for what follows; an answer that comes too late is not shown. */
async function redraw() {
  const mine = ++asked;
  const start = performance.now();
  const query = said();
  const page = new URLSearchParams(query);
  const done = waiting.length;
  for (const each of waiting) query.append("do", each);
  query.set("room", String(room()));
  now.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`${from}?${query}`, { cache: "no-store" });
    const html = await answer.text();
    if (!answer.ok) throw new Error(String(answer.status));
    if (mine !== asked) return;
    if (answer.headers.get("Wortline-Refused")) {
      wrong.innerHTML = html;
      now.classList.add("stale");
      old.hidden = true;
      return;
    }
    wrong.replaceChildren();
    waiting = waiting.slice(done);
    step = null;
    put(html);
    mark(false);
    told.textContent = now.querySelector("[data-said]")?.getAttribute("data-said") ?? "";
    const kept = done ? said() : page;
    history.replaceState(null, "", `${ask.getAttribute("action") ?? ""}?${kept}`);
    now.dispatchEvent(new CustomEvent("redrawn", { bubbles: true }));
    requestAnimationFrame(() =>
      setTimeout(() => {
        performance.measure("redraw", { start, end: performance.now() });
        now.dataset["drawn"] = String(Number(now.dataset["drawn"] ?? 0) + 1);
      }),
    );
  } catch {
    if (mine !== asked) return;
    mark(true);
    setTimeout(() => mine === asked && redraw(), AGAIN_MS);
  } finally {
    if (mine === asked) now.removeAttribute("aria-busy");
  }
}

/** Does what a handle or a step is for. @param {Element} pressed */
function press(pressed) {
  const next = pressed.getAttribute("data-step");
  if (next !== null) {
    step = next;
    waiting = [];
  } else {
    waiting.push(pressed.getAttribute("data-do") ?? "");
  }
  redraw();
}

now.addEventListener("click", (event) => {
  const at = event.target;
  const pressed = at instanceof Element ? at.closest("[data-do], [data-step]") : null;
  if (pressed === null || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  press(pressed);
});
now.addEventListener("keydown", (event) => {
  const at = event.target;
  if (!(at instanceof SVGElement) || !at.hasAttribute("data-do")) return;
  if (event.key !== "Enter" && event.key !== " ") return;
  event.preventDefault();
  if (!event.repeat) press(at);
});

let later = 0;
/** @param {Event} event */
function typed(event) {
  const at = event.target;
  const of = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? at.form : null;
  if (of !== ask || (at instanceof HTMLElement && at.hasAttribute("data-quiet"))) return;
  clearTimeout(later);
  later = setTimeout(redraw, event.type === "change" ? 0 : WAIT_MS);
}
document.addEventListener("input", typed);
document.addEventListener("change", typed);
ask.addEventListener("submit", (event) => {
  const by = event.submitter;
  if (by instanceof HTMLElement && by.hasAttribute("data-do")) return;
  event.preventDefault();
  clearTimeout(later);
  redraw();
});
NARROW.addEventListener("change", redraw);
if (new URLSearchParams(location.search).has("kept")) {
  try {
    localStorage.removeItem(ask.dataset["place"] ?? "");
  } catch {
    // A browser that keeps nothing has nothing to forget.
  }
}

/** Whether the picture is shown about as wide as it was drawn, so that its letters can be read. */
function fits() {
  const shown = [...now.querySelectorAll("[data-room] svg[viewBox]")].find(
    (each) => each.clientWidth > 0,
  );
  if (!(shown instanceof SVGSVGElement)) return true;
  return shown.clientWidth >= 0.9 * shown.viewBox.baseVal.width;
}

let resized = 0;
window.addEventListener("resize", () => {
  clearTimeout(resized);
  resized = setTimeout(() => fits() || redraw(), WAIT_MS);
});
if (!fits()) redraw();
