// The two columns of the deck: next, which is one thing, and meanwhile.

import { el, hoursMinutes, late, soon, touch, wallClock } from "./deck_dom.js";
import { readingOf } from "./deck_entry.js";
import { dueAt, meanwhile, nextSteps, phaseHere, refusal, undoings, unmetNeed } from "./deck_fold.js";
import { actWords, check, isSo, lineUpPart, momentOf, pumpMoment, refusals, stands } from "./deck_pipes.js";

/** @import { Alarm, Phase, Step } from "./deck_types.js" */
/** @import { Due } from "./deck_alarms.js" */
/** @import { Built, Run } from "./deck_run.js" */

const EARLY_MIN = 2;
const ASK_AGAIN_MIN = 2;
const SOON_MIN = 15;

/** How far each step's acts have come, by step and what is taken back. @type {Map<string, number>} */
const acted = new Map();

/** Steps that somebody does before their time, of this page. @type {Set<string>} */
const ahead = new Set();

/** Once something is taken back the record says how far the acts have come. @param {Run} run @param {Step} step */
const actsKey = (run, step) => `${step.id} ${undoings(run.entries).size}`;

/**
 * The end of the phase under way, or the moment of the step that is asked again.
 * @param {Run} run @param {Phase} phase
 * @returns {{label: string, min: number} | null} minutes from now, below zero if over; or elapsed
 */
export function phaseClock(run, phase) {
  const span = run.state.phases.get(phase.id);
  const now = run.now();
  if (!span || span.begun.min === null || now === null) return null;
  // what may not be done yet does not run
  const step = run.state.phase === phase.id ? nextSteps(run.deck, run.state)[0] : undefined;
  if (step && unmetNeed(run.deck, run.state, step)) return null;
  const last = run.deck.steps.find((each) => each.id === `${phase.id}/end`);
  const moved = run.state.again.get(`${phase.id}/end`) ?? (last?.due ? dueAt(last.due, run.state) : null);
  const end = moved ?? (phase.planned_min === null ? null : span.begun.min + phase.planned_min);
  if (end === null) return { label: `since ${phase.words} began`, min: now - span.begun.min };
  return end >= now
    ? { label: `left of: ${phase.words}`, min: end - now }
    : { label: `over the time of: ${phase.words}`, min: now - end };
}

/** @param {Run} run @param {Due[]} due @param {Alarm[]} later @returns {Built} */
export function home(run, due, later) {
  const { deck, state } = run;
  const here = phaseHere(deck, state);
  const phase = deck.phases.find((each) => each.id === here);
  const waiting = phase ? nextSteps(deck, state) : [];
  const begun = phase !== undefined && state.phases.has(phase.id);
  let built;
  if (!phase || (begun && !waiting.length && state.phase === null)) built = over(run);
  else if (!begun) built = toBegin(run, phase, waiting[0]);
  else if (!waiting[0]) built = toEnd(run, phase);
  else built = toDo(run, phase, waiting[0]);
  const moment = phase ? momentOf(deck.pipes, phase, begun ? waiting[0] : undefined, state, deck.steps) : null;
  const side = el("div", { class: "side" }, ...prepared(run), ...alarmLists(run, due, later), deck.pipes && moment && lineUpPart(deck.pipes, moment, state));
  return { main: [el("div", { class: "next" }, ...built.main.flatMap((each) => (each ? [each] : []))), side], foot: built.foot.length ? [el("div", { class: "row" }, ...built.foot)] : [] };
}

/** @param {Run} run @returns {Built} */
function over(run) {
  const place = `/lots/${run.deck.lot.number}`;
  return {
    main: [
      el("h1", {}, "The day is done."),
      el("p", {}, run.sync.waiting.length ? "Some entries still wait for the computer. Keep this device until they are sent." : "Everything is kept by the computer."),
      el("p", {}, el("a", { class: "touch", href: place, target: "_blank", rel: "noopener" }, "Plan against fact")),
    ],
    foot: [],
  };
}

/** @param {Run} run @param {Phase} phase @param {Step | undefined} first @returns {Built} */
function toBegin(run, phase, first) {
  const lasts = phase.planned_min === null ? "It takes as long as it takes." : `About ${Math.round(phase.planned_min)} min.`;
  const begin = () => run.write([{ kind: "phase begun", phase: phase.id }]);
  const leave = () =>
    run.sure(`Leave out: ${phase.words}?`, "Every step of it is written down as skipped.", "Leave it out", () => {
      const steps = run.deck.steps.filter((step) => step.phase === phase.id && !step.meanwhile);
      const skipped = steps.map((step) => ({ kind: "skipped", step: step.id, why: "phase left out" }));
      void run.write([{ kind: "phase begun", phase: phase.id }, ...skipped, { kind: "phase ended", phase: phase.id }]);
    });
  const before = first && unmetNeed(run.deck, run.state, first);
  if (before) return beforeIt(run, before, `Next phase: ${phase.words}, once this is so.`, [touch("Skip", leave)]);
  return {
    main: [
      el("h1", {}, `Next phase: ${phase.words}`),
      el("p", {}, lasts),
      first && el("p", { class: "quiet" }, `First: ${first.text}`),
      first?.safety && caution(first.safety),
    ],
    foot: [touch(`Begin: ${phase.words}`, begin, "first"), touch("Skip", leave)],
  };
}

/** @param {Run} run @param {Phase} phase @returns {Built} */
function toEnd(run, phase) {
  return {
    main: [el("h1", {}, `${phase.words}: every step is done.`)],
    foot: [touch(`End: ${phase.words}`, () => run.write([{ kind: "phase ended", phase: phase.id }]), "first")],
  };
}

/** @param {string} text */
const caution = (text) => el("p", { class: "safety" }, el("b", {}, "Caution: "), text);

/** @param {Run} run @param {Phase} phase @param {Step} step @returns {Built} */
function toDo(run, phase, step) {
  const before = unmetNeed(run.deck, run.state, step);
  if (before) return beforeIt(run, before, `Then: ${step.text}`, beside(run, step, true));
  const now = run.now();
  const due = step.due ? (run.state.again.get(step.id) ?? dueAt(step.due, run.state)) : null;
  const early = due === null || now === null ? 0 : due - now;
  if (early > EARLY_MIN && due !== null && !ahead.has(step.id)) return toWait(run, step, due, early);
  const first = primary(run, phase, step);
  /** @type {Node[]} */
  const main = first.lead ? [first.lead, el("p", {}, step.text)] : [el("h1", {}, step.text)];
  const asked = run.state.again.get(step.id);
  const at = due ?? asked ?? null;
  if (at !== null && now !== null && at > now) main.unshift(el("p", { class: "when", "data-due": String(at) }, `${soon(at - now)}, ${wallClock(at - now)}:`));
  if (step.was) main.push(el("p", { class: "quiet was" }, `Was, before what you read: ${step.was}`));
  if (step.safety) main.push(caution(step.safety));
  return { main: [...main, ...first.main], foot: [...first.foot, ...beside(run, step, false)] };
}

/** A step that is still to come is small; what there is to do now is to wait, by its clock. @param {Run} run @param {Step} step @param {number} due @param {number} early @returns {Built} */
function toWait(run, step, due, early) {
  const { ask } = step;
  const prepares = meanwhile(run.deck, run.state).length > 0;
  const now = () => {
    ahead.add(step.id);
    run.home();
  };
  let go;
  if (ask) go = touch("Enter the reading", () => readingOf(run, ask, step), "", "already");
  else if (step.turns.length) go = touch("Do it now", now, "", "before its time");
  else {
    const done = () => void run.finish(step);
    go = touch("Done", () => run.sure("Done already?", `${step.text} It is planned ${soon(early)}.`, "It is done", done), "", "already");
  }
  return {
    main: [
      el("h1", {}, prepares ? "Nothing is due yet. Prepare what stands under Meanwhile." : "Wait. Nothing is due yet."),
      el("p", { class: "when", "data-due": String(due) }, `${soon(early)}, ${wallClock(early)}:`),
      el("p", {}, step.text),
      step.safety && caution(step.safety),
    ],
    foot: [go, ...beside(run, step, true)],
  };
}

/** What has to be done first is the one thing to do; what waits for it is small. @param {Run} run @param {Step} step @param {string} waits @param {Node[]} rest @returns {Built} */
function beforeIt(run, step, waits, rest) {
  const { ask } = step;
  const go = ask ? touch("Enter the reading", () => readingOf(run, ask, step), "first") : touch("Done", () => void run.finish(step), "first");
  return {
    main: [el("h1", {}, step.text), step.safety && caution(step.safety), el("p", { class: "quiet" }, waits)],
    foot: [go, ...rest],
  };
}

/** @param {Run} run @param {Step} step @param {boolean} refused */
function beside(run, step, refused) {
  const notYet = () => {
    void run.write([{ kind: "not yet", step: step.id, again_min: ASK_AGAIN_MIN }]);
    run.tell(`Asked again in ${ASK_AGAIN_MIN} min.`);
  };
  const skip = () =>
    run.sure(`Skip this step?`, step.safety ? `${step.text} ${step.safety}` : step.text, "Skip it", () => void run.finish(step, [{ kind: "skipped", step: step.id }]));
  return [!refused && touch("Not yet", notYet), touch("Skip", skip)].flatMap((each) => (each ? [each] : []));
}

/** @typedef {Built & {lead?: HTMLElement}} Act what is said before the step's own text, if anything */

/** The one thing to touch. @param {Run} run @param {Phase} phase @param {Step} step @returns {Act} */
function primary(run, phase, step) {
  const place = acted.get(actsKey(run, step)) ?? firstOpen(run, step);
  const turn = step.turns[place];
  if (turn) return acting(run, step, turn, place);
  const { ask } = step;
  if (ask) return { main: [], foot: [touch("Enter the reading", () => readingOf(run, ask, step), "first")] };
  if (step.parts?.length) return ticking(run, step, step.parts);
  return { main: [], foot: [touch("Done", () => void run.finish(step), "first", phase.words)] };
}

/** Parts ticked on this page and not written yet, by step. @type {Map<string, Set<string>>} */
const ticked = new Map();

/** One key for each part; what is ticked is written with the step. @param {Run} run @param {Step} step @param {string[]} parts @returns {Act} */
function ticking(run, step, parts) {
  const on = ticked.get(step.id) ?? new Set();
  ticked.set(step.id, on);
  const now = step.surface[1];
  const key = (/** @type {string} */ part) => {
    const made = touch(part, () => {
      if (!on.delete(part)) on.add(part);
      made.setAttribute("aria-pressed", String(on.has(part)));
      count();
    }, "part");
    made.setAttribute("aria-pressed", String(on.has(part)));
    return made;
  };
  const done = () => void run.finish(step, parts.filter((part) => on.has(part)).map((part) => ({ kind: "surface", part, now })));
  const go = touch("Done", done, "first", " ");
  const count = () => {
    const small = go.querySelector("small");
    if (small) small.textContent = on.size ? `${on.size} of ${parts.length} ticked` : "none ticked";
  };
  count();
  return { main: [el("div", { class: "menu parts" }, ...parts.map(key))], foot: [go] };
}

/** The first act that is not so yet; none where the same part is turned twice. @param {Run} run @param {Step} step */
function firstOpen(run, step) {
  const parts = step.turns.map(([, part]) => part);
  if (new Set(parts).size < parts.length) return 0;
  const open = step.turns.findIndex((turn) => !isSo(run.state, turn));
  return open < 0 ? Math.max(step.turns.length - 1, 0) : open;
}

/** One act of the hand; the pump only after the check. @param {Run} run @param {Step} step @param {[string, string, string]} turn @param {number} place @returns {Act} */
function acting(run, step, turn, place) {
  const [act, part, to] = turn;
  const event = act === "pump" ? { kind: "pump", on: to === "on" } : { kind: "handle turned", part, position: to };
  const last = place === step.turns.length - 1;
  const done = async (/** @type {import("./deck_types.js").LotEvent[]} */ before = []) => {
    acted.set(actsKey(run, step), place + 1);
    if (last && !step.ask) await run.finish(step, [...before, event]);
    else await run.write([...before, event]);
  };
  const several = step.turns.length > 1;
  const row = (/** @type {[string, string, string]} */ each, /** @type {number} */ index) =>
    el("li", index === place ? { "aria-current": "step" } : { class: index < place ? "so" : "" }, actWords(each), index < place && el("small", {}, " (done)"));
  const main = several ? [el("ol", { class: "acts" }, ...step.turns.map(row))] : [];
  const lead = several ? { lead: el("h1", {}, `${actWords(turn)}.`) } : {};
  const foot = [touch(`Done: ${actWords(turn)}`, () => void done(), "first")];
  const pipes = run.deck.pipes;
  if (act !== "pump" || to !== "on" || !pipes) return { ...lead, main, foot };
  const moment = pumpMoment(pipes, step.id);
  const found = moment ? check(pipes, run.state, moment) : null;
  if (!found || found.ok) return { ...lead, main: [...main, el("p", { class: "passed" }, "The line-up is checked.")], foot };
  const refused = pumpRefusal(run, found, () => void done(overrides(found)));
  const said = el("div", {}, ...refused.main.flatMap((each) => (each ? [each] : [])));
  return { lead: said, main, foot: refused.foot };
}

/** @param {import("./deck_pipes.js").Check} found */
export const overrides = (found) =>
  [...refusals(found), ...found.unknown.map((each) => `Not checked: ${stands(each)}.`)].slice(0, 8).map((text) => ({ kind: "override", check: `pump: ${text}` }));

/** Why the pump is refused, what mends it, and the way to go on even so. @param {Run} run @param {import("./deck_pipes.js").Check} found @param {() => void} even_so @returns {Built} */
export function pumpRefusal(run, found, even_so) {
  const open = [...found.unknown, ...found.differ];
  const turned = open.map((each) => ({ kind: "handle turned", part: each.part, position: each.wants }));
  const text = refusals(found);
  const anyway = () =>
    run.sure("Pump on against the check?", text.join(" ") || "The line-up was not checked.", "On even so", () =>
      run.sure("Are you certain?", "Hot wort may burst from a line. This is written down.", "Yes, on even so", even_so));
  const main = [
    el("h1", { class: "refused" }, open.length ? "Pump refused. Go and look, it has to stand so:" : "Pump refused."),
    open.length > 0 && el("ul", { class: "stands looks" }, ...open.map((each) => el("li", {}, stands(each)))),
    text.length > 0 && el("ul", {}, ...text.map((each) => el("li", {}, each))),
    touch("Switch it on anyway", anyway, "anyway"),
  ];
  const mend = touch(found.unknown.length && !found.differ.length ? "I looked: they stand so" : "Mended: they stand so", () => void run.write(turned), "first");
  return { main, foot: open.length ? [mend] : [] };
}

/** @param {Run} run */
function prepared(run) {
  const rows = meanwhile(run.deck, run.state);
  if (!rows.length) return [];
  const part = rows.map((step) => {
    const why = refusal(run.deck, run.state, step);
    return el("li", {}, el("p", {}, step.text), step.safety && caution(step.safety), why && el("p", { class: "refused" }, why), !why && prepare(run, step));
  });
  return [el("section", {}, el("h2", {}, "Meanwhile"), el("ul", { class: "plain" }, ...part))];
}

/** @param {Run} run @param {Step} step */
function prepare(run, step) {
  const { ask } = step;
  const what = `${step.text.slice(0, 24)}…`;
  return ask ? touch("Enter the reading", () => readingOf(run, ask, step), "", what) : touch("Done", () => void run.finish(step), "", what);
}

/** @param {Run} run @param {Due[]} due @param {Alarm[]} later */
function alarmLists(run, due, later) {
  const now = run.now() ?? 0;
  const row = (/** @type {string} */ when, /** @type {string} */ text, /** @type {number} */ at) => el("li", {}, el("b", { class: "when", "data-due": String(at) }, when), text);
  const found = [];
  if (due.length) found.push(el("section", {}, el("h2", {}, "Due and not done"), el("ul", { class: "plain alarms" }, ...due.map((each) => row(late(now - each.dueMin), `: ${each.text}`, each.dueMin)))));
  const near = later.filter((each) => each.dueMin - now <= SOON_MIN).length;
  const said = near ? `${near} within ${SOON_MIN} min` : `none within ${SOON_MIN} min`;
  const rows = later.slice(0, 12).map((each) => row(`${soon(each.dueMin - now)}, ${wallClock(each.dueMin - now)}:`, ` ${each.text}`, each.dueMin));
  found.push(el("section", {}, el("h2", {}, "Coming alarms"), el("p", { class: "quiet" }, rows.length ? said : "None is set now: each phase sets its own as it begins."), el("ul", { class: "plain alarms" }, ...rows)));
  return found;
}

/** @param {number} minutes @param {boolean} seconds */
export const digits = (minutes, seconds) => {
  const whole = Math.max(Math.floor(minutes * 60 + 1e-6), 0);
  if (seconds && whole < 6000) return `${String(Math.floor(whole / 60)).padStart(2, "0")}:${String(whole % 60).padStart(2, "0")}`;
  return `${hoursMinutes(minutes)}h`;
};
