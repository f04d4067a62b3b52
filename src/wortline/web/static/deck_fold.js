// The state of a lot: a fold over its entries, as wortline.lot.fold has it.

import { lengthen, withActs } from "./deck_acts.js";
import { moments } from "./deck_moments.js";

/** @import { Alarm, At, Deck, Due, Entry, Fact, LotEvent, State, Step } from "./deck_types.js" */

/** Entries by their number, those not kept yet behind; once each. @param {Entry[]} entries */
export function ordered(entries) {
  /** @type {Map<string, Entry>} */
  const once = new Map();
  for (const entry of entries) {
    const held = once.get(entry.id);
    if (!held || (!held.number && entry.number)) once.set(entry.id, entry);
  }
  return [...once.values()].sort((a, b) => {
    const [left, right] = [a.number ?? 0, b.number ?? 0];
    if (!left !== !right) return left ? -1 : 1;
    if (left !== right) return left - right;
    return a.device === b.device ? a.sequence - b.sequence : a.device < b.device ? -1 : 1;
  });
}

/** Whether what an entry names came before it: nothing acts on what comes after. @param {Entry[]} entries */
function earlier(entries) {
  const place = new Map(entries.map((entry, number) => [entry.id, number]));
  return (/** @type {Entry} */ entry) => (place.get(entry.event["entry"]) ?? entries.length) < (place.get(entry.id) ?? 0);
}

/**
 * Which entries do not count, each with the ids of what undoes it.
 * @param {Entry[]} entries
 * @returns {Map<string, string[]>}
 */
export function undoings(entries) {
  const isAfter = earlier(entries);
  /** @type {Map<string, string[]>} */
  const undone = new Map();
  for (const entry of [...entries].reverse()) {
    if (entry.event.kind !== "undone" || undone.has(entry.id) || !isAfter(entry)) continue;
    const target = entry.event["entry"];
    undone.set(target, [...(undone.get(target) ?? []), entry.id]);
  }
  return undone;
}

/**
 * The entries that count, each as what it means after corrections and undos, and what it meant.
 * @param {Entry[]} entries
 * @returns {Fact[]}
 */
export function counted(entries) {
  const at = moments(entries);
  const isAfter = earlier(entries);
  const undone = undoings(entries);
  /** @type {Map<string, LotEvent[]>} */
  const means = new Map();
  /** @type {Map<string, string>} */
  const corrects = new Map();
  for (const entry of entries) {
    if (entry.event.kind !== "corrected" || !isAfter(entry)) continue;
    // A correction of a correction corrects what that one corrected.
    const target = corrects.get(entry.event["entry"]) ?? entry.event["entry"];
    corrects.set(entry.id, target);
    if (!undone.has(entry.id)) means.set(target, [...(means.get(target) ?? []), entry.event["event"]]);
  }
  return entries
    .filter((entry) => !undone.has(entry.id) && !["corrected", "undone"].includes(entry.event.kind))
    .map((entry) => {
      const all = [entry.event, ...(means.get(entry.id) ?? [])];
      return { entry, event: all.at(-1) ?? entry.event, at: at.get(entry.id) ?? { min: null, trust: "none" }, former: all.slice(0, -1) };
    });
}

/**
 * The state after these entries.
 * @param {Deck} deck
 * @param {Entry[]} entries
 * @returns {State}
 */
export function fold(deck, entries) {
  const inOrder = ordered(entries);
  /** @type {State} */
  const state = {
    facts: counted(inOrder), phases: new Map(), steps: new Map(), doneAt: new Map(), again: new Map(),
    doses: new Map(), readings: [], handles: {}, pumpOn: false, surfaces: {}, phase: null, last: null, longer: {},
  };
  deck.steps = withActs(deck, state.facts);
  const steps = new Map(deck.steps.map((step) => [step.id, step]));
  for (const fact of state.facts) {
    apply(state, steps, fact);
    if (fact.event.kind === "deviation") lengthen(state, deck, fact.event);
  }
  const counts = new Set(state.facts.map((fact) => fact.entry.id));
  for (const entry of inOrder) {
    const { kind } = entry.event;
    if (["step done", "skipped"].includes(kind) && !counts.has(entry.id)) {
      if (!state.steps.has(entry.event["step"])) state.steps.set(entry.event["step"], "undone");
    }
  }
  settle(state, deck);
  return state;
}

/** @param {State} state @param {Map<string, Step>} steps @param {Fact} fact */
function apply(state, steps, { event, at }) {
  if (at.min !== null) state.last = at;
  switch (event.kind) {
    case "phase begun":
      begin(state, event["phase"], at);
      break;
    case "phase ended":
      end(state, event["phase"], at);
      break;
    case "step done":
      done(state, steps, event["step"], at);
      break;
    case "not yet":
      state.steps.set(event["step"], "waiting");
      if (event["again_min"] != null && at.min !== null) {
        state.again.set(event["step"], at.min + event["again_min"]);
      }
      break;
    case "skipped":
      state.steps.set(event["step"], "skipped");
      break;
    case "dose in":
      if (!state.doses.has(event["dose"])) state.doses.set(event["dose"], at);
      break;
    case "measured":
      state.readings.push({ event, at });
      break;
    case "handle turned":
      state.handles[event["part"]] = event["position"];
      break;
    case "pump":
      state.pumpOn = event["on"];
      break;
    case "surface":
      state.surfaces[event["part"]] = event["now"];
  }
}

/** @param {State} state @param {string} phase @param {At} at */
function begin(state, phase, at) {
  if (state.phases.has(phase)) return;
  const now = state.phase === null ? undefined : state.phases.get(state.phase);
  if (now && at.min !== null && now.begun.min !== null && at.min < now.begun.min) {
    state.phases.set(phase, { begun: at, ended: null });
    return;
  }
  if (state.phase !== null) end(state, state.phase, at);
  state.phases.set(phase, { begun: at, ended: null });
  state.phase = phase;
}

/** @param {State} state @param {string} phase @param {At} at */
function end(state, phase, at) {
  const span = state.phases.get(phase);
  if (!span) return;
  if (span.ended === null) state.phases.set(phase, { begun: span.begun, ended: at });
  if (state.phase === phase) state.phase = null;
}

/** @param {State} state @param {Map<string, Step>} steps @param {string} id @param {At} at */
function done(state, steps, id, at) {
  if (state.steps.get(id) === "done") return;
  state.steps.set(id, "done");
  state.doneAt.set(id, at);
  const step = steps.get(id);
  if (!step) return;
  if (step.dose && !state.doses.has(step.dose)) state.doses.set(step.dose, at);
  for (const [act, part, position] of step.turns) {
    if (act === "pump") state.pumpOn = position === "on";
    else state.handles[part] = position;
  }
  for (const part of step.marks ?? []) state.surfaces[part] = "sanitised";
  if (step.surface[0]) state.surfaces[step.surface[0]] = step.surface[1];
}

/** @param {State} state @param {Deck} deck */
function settle(state, deck) {
  const now = state.last?.min ?? null;
  for (const step of deck.steps) {
    if (state.steps.has(step.id)) continue;
    const span = state.phases.get(step.phase);
    const unmet = unmetNeed(deck, state, step) !== null;
    let standing = span ? "ready" : "planned";
    if (!span && !step.meanwhile) standing = "planned";
    else if (unmet) standing = "waiting";
    else if (step.due && !span?.ended) {
      const due = dueAt(step.due, state);
      standing = due !== null && now !== null && due > now ? "waiting" : "ready";
    }
    state.steps.set(step.id, standing);
  }
}

/** When a moment comes, in minutes of the lot. @param {Due} due @param {State} state */
export function dueAt(due, state) {
  const since = due.since && state.steps.get(due.since) === "done" ? state.doneAt.get(due.since) : undefined;
  if (since?.min != null) return since.min + (due.since_min ?? 0);
  const span = state.phases.get(due.after);
  const edge = due.edge === "begun" ? span?.begun : span?.ended;
  const longer = due.edge === "begun" ? (state.longer[due.after] ?? 0) : 0;
  return edge?.min == null ? null : edge.min + due.plus_min + longer;
}

/** @param {State} state @param {string} step */
export const isOver = (state, step) => ["done", "skipped"].includes(state.steps.get(step) ?? "planned");

/**
 * Alarms of steps that are not done, the next first; a step put off has one when it is asked again.
 * @param {Deck} deck
 * @param {State} state
 * @returns {Alarm[]}
 */
export function coming(deck, state) {
  /** @type {Alarm[]} */
  const found = [];
  for (const step of deck.steps) {
    const due = state.again.get(step.id) ?? (step.due ? dueAt(step.due, state) : null);
    // what has not begun cannot be over
    const begun = !step.due?.since || isOver(state, step.due.since);
    if (due !== null && begun && !isOver(state, step.id)) found.push({ id: step.id, text: step.text, dueMin: due });
  }
  return found.sort((a, b) => a.dueMin - b.dueMin || (a.id < b.id ? -1 : 1));
}

/** The phase under way, or the one to begin. @param {Deck} deck @param {State} state */
export function phaseHere(deck, state) {
  if (state.phase !== null) return state.phase;
  const waiting = deck.phases.find((phase) => !state.phases.has(phase.id));
  return waiting?.id ?? deck.phases.at(-1)?.id ?? null;
}

/** What to do now, the first first. @param {Deck} deck @param {State} state */
export function nextSteps(deck, state) {
  const here = phaseHere(deck, state);
  return deck.steps.filter((step) => step.phase === here && !step.meanwhile && !isOver(state, step.id));
}

/** What may be prepared. @param {Deck} deck @param {State} state */
export function meanwhile(deck, state) {
  return deck.steps.filter(
    (step) => step.meanwhile && state.phases.has(step.phase) && !isOver(state, step.id),
  );
}

/** What has to be done before a step; of a reading it is enough that it was asked. @param {Deck} deck @param {State} state @param {Step} step @returns {Step | null} */
export function unmetNeed(deck, state, step) {
  for (const need of step.needs) {
    const found = deck.steps.find((each) => each.id === need);
    const how = state.steps.get(need);
    if (found && how !== "done" && !(how === "skipped" && found.ask)) return found;
  }
  return null;
}

/** Why a step may not be done yet; empty if it may. @param {Deck} deck @param {State} state @param {Step} step */
export function refusal(deck, state, step) {
  const unmet = unmetNeed(deck, state, step);
  return unmet ? `Not yet. First: ${unmet.text}` : "";
}
