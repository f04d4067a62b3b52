// The plan page: levers move, everything that follows is drawn anew, and nothing is kept until it
// is accepted. Numbers without an answer behind them are marked as old at once.

import { hideNewer, say, showSome, tellNewer } from "./plan_bar.js";
import { inItsWords, part, sentence } from "./plan_parts.js";
import { Past } from "./plan_past.js";
import { keepRoom, pictureWidth, watchRoom } from "./plan_picture.js";
import { Asker, ask } from "./plan_server.js";
import { explain } from "./plan_why.js";

/**
 * `typed` is what the document said when the page came, `first` the same in the units of this
 * browser, `kept` what the document says now.
 * @typedef {{element: HTMLElement, key: string, name: string, typed: string, first: string, kept: string, standsFor: string, text: HTMLInputElement | HTMLSelectElement, range: HTMLInputElement | null, pattern: string}} Lever
 */

const plan = part("plan", HTMLElement);
const strip = part("strip", HTMLElement);
const old = part("old", HTMLElement);
const undo = part("undo", HTMLButtonElement);
const redo = part("redo", HTMLButtonElement);
const accept = part("accept", HTMLFormElement);
const whyLine = part("why-line", HTMLInputElement);
const PARTS = ["cant", "numbers", "others", "whirl", "line", "changed", "ledger", "doses", "notes", "paper"];
const IDLE_MS = 150;
const place = `plan ${plan.dataset["place"]}`;
const revisions = {
  recipe: Number(plan.dataset["recipe"]),
  rig: Number(plan.dataset["rig"]),
  day: plan.dataset["day"] ? Number(plan.dataset["day"]) : null,
};

/** @type {Map<string, Lever>} */
const levers = new Map();
for (const element of plan.querySelectorAll(".lever")) {
  if (!(element instanceof HTMLElement)) continue;
  const text = element.querySelector("input[type=text], select");
  if (!(text instanceof HTMLInputElement || text instanceof HTMLSelectElement)) continue;
  const range = element.querySelector("input[type=range]");
  const { key = "", name = "", text: typed = "", shown = "", pattern = "" } = element.dataset;
  levers.set(key, {
    element, key, name, typed, first: element.dataset["said"] ?? typed, kept: typed,
    standsFor: typed ? "" : shown, text,
    range: range instanceof HTMLInputElement ? range : null, pattern,
  });
}

let past = Past.read(remembered());
/** What is being slid and no step yet. @type {Record<string, string>} */
let sliding = {};

/** @param {Lever} lever */
function says(lever) {
  return sliding[lever.key] ?? past.now[lever.key] ?? lever.first;
}

/** @returns {Record<string, string>} */
function moves() {
  /** @type {Record<string, string>} */
  const moved = {};
  for (const lever of levers.values()) {
    // A lever as it came is what was typed, to the letter, in whatever units it is shown.
    const now = says(lever) === lever.first ? lever.typed : says(lever);
    // What stands for nothing written yet is no move either.
    if (now !== lever.kept && !(lever.kept === "" && now === lever.standsFor)) {
      moved[lever.key] = now;
    }
  }
  return moved;
}

function body() {
  return { ...revisions, moves: moves(), width: pictureWidth(strip) };
}

function remembered() {
  try {
    return sessionStorage.getItem(place);
  } catch {
    return null;
  }
}

function remember() {
  try {
    sessionStorage.setItem(place, past.written());
  } catch {
    // A browser that keeps nothing; it is still on the page.
  }
}

/** Puts what a lever says into its field and under its slider. @param {Lever} lever */
function set(lever) {
  const now = says(lever) || (lever.text instanceof HTMLSelectElement ? lever.standsFor : "");
  if (lever.text.value !== now) lever.text.value = now;
  if (lever.range) {
    const shown = now || lever.standsFor;
    const [before = "", after = ""] = lever.pattern.split("{}");
    const number = shown.startsWith(before) && shown.endsWith(after)
      ? shown.slice(before.length, shown.length - after.length)
      : "";
    if (/^[0-9.]+$/.test(number) && Number(lever.range.value) !== Number(number)) {
      lever.range.value = number;
    }
    lever.range.setAttribute("aria-valuetext", shown);
  }
}

/** Shows beside each lever what it was. */
function showMoved() {
  const moved = moves();
  for (const lever of levers.values()) {
    const was = lever.element.querySelector(".was");
    const is = lever.key in moved;
    lever.element.classList.toggle("is-moved", is);
    if (was instanceof HTMLElement) {
      was.hidden = !is;
      was.textContent = is ? `was ${shownKept(lever)}` : "";
    }
  }
  showSome(Object.keys(moved).length > 0);
  undo.disabled = !past.canUndo;
  redo.disabled = !past.canRedo;
}

/** @param {Lever} lever */
function shownKept(lever) {
  if (lever.text instanceof HTMLSelectElement) {
    const kept = lever.kept || lever.standsFor;
    const option = [...lever.text.options].find((each) => each.value === kept);
    return option?.textContent ?? kept;
  }
  return shown(lever, lever.kept) || lever.standsFor;
}

/** What stands in the field for what a document says. @param {Lever} lever @param {string} kept */
function shown(lever, kept) {
  return kept === lever.typed ? lever.first : kept;
}

/** Moves a lever; a step for undo is made once it is let go. */
/** @param {Lever} lever @param {string} typed @param {boolean} done */
function move(lever, typed, done) {
  sliding[lever.key] = typed;
  say("");
  if (done) step();
  set(lever);
  showMoved();
  want();
}

function step() {
  past.step({ ...past.now, ...sliding });
  sliding = {};
  remember();
}

/** @param {"undo" | "redo"} way */
function travel(way) {
  if (Object.keys(sliding).length) step();
  past[way]();
  remember();
  for (const lever of levers.values()) set(lever);
  showMoved();
  say(way === "undo" ? "One step taken back." : "One step done again.");
  want();
}

/** @param {string} words */
function markOld(words) {
  plan.classList.add("is-old");
  if (old.textContent !== words) old.textContent = words;
}

/**
 * Says at each lever what is wrong with what it says; returns the words that have no lever.
 * @param {any[]} problems
 */
function saidAt(problems) {
  for (const problem of problems) {
    const lever = levers.get(problem.field);
    const words = lever?.element.querySelector(".wrong");
    if (!lever || !(words instanceof HTMLElement)) continue;
    words.textContent = sentence(problem.text);
    words.hidden = false;
    lever.text.setAttribute("aria-invalid", "true");
    lever.element.closest("details")?.setAttribute("open", "");
  }
  const rest = problems.filter((each) => !levers.has(each.field));
  return rest.map((each) => sentence(each.text)).join(" ");
}

/** Names the levers that are left out until they can be read. @param {any[]} problems */
function leftOut(problems) {
  const names = problems.flatMap((each) => levers.get(each.field)?.name ?? []);
  return names.length ? `Left out, for it cannot be read: ${[...new Set(names)].join("; ")}. Everything else is followed.` : "";
}

/** @param {import("./plan_server.js").Answer} answer */
function show(answer) {
  for (const wrong of plan.querySelectorAll(".lever .wrong:not([hidden])")) {
    if (wrong instanceof HTMLElement) wrong.hidden = true;
  }
  for (const field of plan.querySelectorAll(".lever [aria-invalid]")) {
    field.removeAttribute("aria-invalid");
  }
  if (answer.status !== 200) {
    const error = answer.told.error ?? { text: "This was refused.", problems: [] };
    const told = saidAt(error.problems ?? []) || sentence(error.text);
    markOld(`These are old: your last change cannot be used. ${told}`);
    return;
  }
  const problems = answer.told.problems ?? [];
  saidAt(problems);
  for (const [key, lever] of levers) {
    const told = lever.element.querySelector(".told");
    const words = answer.told.told[key] ?? "";
    if (told && told.textContent !== words) told.textContent = words;
  }
  const parts = answer.told.parts;
  const whole = answer.told.whole === true;
  if (drawn.get("strip") !== parts.strip) {
    keepRoom(strip);
    strip.innerHTML = parts.strip;
    drawn.set("strip", parts.strip);
  }
  for (const name of PARTS) {
    const into = part(name, HTMLElement);
    // What takes longer is not in a quick answer: until it comes, what stands there is old.
    into.classList.toggle("is-late", parts[name] === undefined);
    if (parts[name] !== undefined && parts[name] !== drawn.get(name)) {
      into.innerHTML = parts[name];
      drawn.set(name, parts[name]);
    }
  }
  plan.classList.remove("is-old");
  const words = leftOut(problems);
  if (old.textContent !== words) old.textContent = words;
  clearTimeout(idle);
  if (whole && !asker.wanted) plan.removeAttribute("aria-busy");
  if (!whole) {
    idle = setTimeout(() => {
      wholeWanted = true;
      asker.want();
    }, IDLE_MS);
  }
}

let idle = 0;
let wholeWanted = true;

/** What the server wrote last into each part. @type {Map<string, string>} */
const drawn = new Map();

function sent() {
  const whole = wholeWanted;
  wholeWanted = false;
  return ask("/api/plan/moved", { ...body(), whole });
}

const asker = new Asker(sent, show, markOld);

/** Asks for the page anew; until the whole answer stands there it is busy. */
function want() {
  plan.setAttribute("aria-busy", "true");
  // The rest of an answer that is overtaken is not asked for.
  clearTimeout(idle);
  asker.want();
}

for (const lever of levers.values()) {
  const { text, range } = lever;
  range?.addEventListener("input", () => {
    move(lever, lever.pattern.replace("{}", range.value), false);
  });
  range?.addEventListener("change", step);
  range?.addEventListener("change", showMoved);
  text.addEventListener("change", () => {
    const typed = text.value.trim();
    const before = past.now[lever.key] ?? lever.first;
    const words = /\d/.test(before) ? before : shown(lever, lever.kept) || lever.standsFor;
    const isField = text instanceof HTMLInputElement;
    move(lever, isField ? inItsWords(typed, words) : typed, true);
  });
}

undo.addEventListener("click", () => travel("undo"));
redo.addEventListener("click", () => travel("redo"));
part("put-back", HTMLButtonElement).addEventListener("click", () => {
  const back = { ...past.now };
  for (const lever of levers.values()) back[lever.key] = shown(lever, lever.kept);
  sliding = {};
  past.step(back);
  remember();
  for (const lever of levers.values()) set(lever);
  showMoved();
  say("All is as it is kept.");
  want();
});

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const letter = event.key.toLowerCase();
  if (letter !== "z" && letter !== "y") return;
  const field = event.target;
  if (field === whyLine) return;
  if (field instanceof HTMLInputElement && field.type === "text") {
    // What is typed and not yet taken is the field's own to undo.
    const lever = [...levers.values()].find((each) => each.text === field);
    if (lever && field.value !== says(lever)) return;
  }
  event.preventDefault();
  travel(letter === "y" || event.shiftKey ? "redo" : "undo");
});

plan.addEventListener("click", (event) => {
  const take = event.target instanceof Element ? event.target.closest("[data-take]") : null;
  if (!take) return;
  const moved = Object.entries(JSON.parse(take.getAttribute("data-take") ?? "{}"));
  for (const [key, typed] of moved) sliding[key] = String(typed);
  step();
  for (const lever of levers.values()) set(lever);
  showMoved();
  say("Taken. Undo takes it back.");
  want();
});

accept.addEventListener("submit", (event) => {
  event.preventDefault();
  keep();
});

/** Keeps what is moved, as new revisions of what the plan is made from. */
async function keep(onTop = false) {
  if (Object.keys(sliding).length) step();
  const sent = body();
  say("Keeping it.");
  try {
    const answer = await ask("/api/plan/accepted", { ...sent, why: whyLine.value });
    if (answer.status === 409 && answer.told.newest) {
      say("Not kept yet: it was changed elsewhere. What you moved is kept here.");
      tellNewer(answer.told.newer, () => {
        Object.assign(revisions, answer.told.newest);
        keep(true);
      });
      return;
    }
    if (answer.status !== 200) {
      const found = answer.told.error?.problems ?? [];
      const told = saidAt(found) || leftOut(found) || (answer.told.error?.text ?? "");
      say(`Not kept: ${sentence(told || "This was refused")}`);
      return;
    }
    Object.assign(revisions, answer.told.revisions);
    hideNewer();
    for (const [key, kept] of Object.entries(sent.moves)) {
      const lever = levers.get(key);
      if (lever) lever.kept = kept;
    }
    whyLine.value = "";
    // What was kept elsewhere stands in the levers only once they are drawn anew.
    if (onTop) location.reload();
    say("Kept as new revisions. Undo still works.");
    showMoved();
    if (Object.keys(moves()).length) want();
    else show(answer);
  } catch {
    say("Not kept: the server does not answer. What you moved is kept here; try again.");
  }
}

explain(plan, body);
watchRoom(strip, () => {
  wholeWanted = true;
  want();
});

/** Moves the levers that the address names, such as the rest chosen on its page; once. */
function takeAlong() {
  const address = new URL(location.href);
  for (const [key, typed] of [...address.searchParams]) {
    const lever = levers.get(key);
    if (!lever) continue;
    address.searchParams.delete(key);
    if (says(lever) !== typed) move(lever, typed, true);
  }
  if (address.href !== location.href) history.replaceState(null, "", address);
}

for (const lever of levers.values()) set(lever);
showMoved();
if (Object.keys(moves()).length) want();
takeAlong();
window.addEventListener("online", () => plan.classList.contains("is-old") && want());
plan.dataset["ready"] = "yes";
document.addEventListener("visibilitychange", () => {
  if (!document.hidden && plan.classList.contains("is-old")) want();
});
