// The line-up of the moment: as picture, in words, and the check before the pump.

import { el } from "./deck_dom.js";

/** @import { LineUp, Phase, Pipes, State, Step } from "./deck_types.js" */

/** How everything but the pump stands, as one word; `null` where something is not known. @param {Pipes} pipes @param {Record<string, string>} handles */
export function wayKey(pipes, handles) {
  const positions = Object.keys(pipes.handles).map((name) => handles[name]);
  const ends = Object.keys(pipes.hose_ends).map((name) => handles[name]);
  if ([...positions, ...ends].includes(undefined)) return null;
  const water = pipes.water && handles[pipes.water] === "on" ? "on" : "off";
  return [positions.join("|"), ends.join("|"), water].join(";");
}

/** The line-up that a step leads to, or that its phase has. @param {Pipes | null} pipes @param {Phase} phase @param {Step | undefined} step @param {State} state @param {Step[]} steps */
export function momentOf(pipes, phase, step, state, steps) {
  if (!pipes) return null;
  if (step && pipes.shown[step.id]) return step.id;
  const turned = steps.filter(
    (each) => each.phase === phase.id && pipes.shown[each.id] && state.steps.get(each.id) === "done",
  );
  const last = turned.at(-1)?.id ?? phase.id;
  return pipes.shown[last] ? last : null;
}

/** The moment whose pump is meant when it is switched by hand. @param {Pipes} pipes @param {string | null} moment */
export function pumpMoment(pipes, moment) {
  const starts = Object.keys(pipes.refused);
  if (moment && starts.includes(moment)) return moment;
  const order = Object.keys(pipes.shown);
  const here = moment ? order.indexOf(moment) : 0;
  return starts.filter((each) => order.indexOf(each) <= here).at(-1) ?? starts[0] ?? null;
}

/** @typedef {{part: string, has: string | undefined, wants: string, kind: "handle" | "hose" | "water"}} Apart */
/** @typedef {{ok: boolean, unknown: Apart[], differ: Apart[], stops: string[]}} Check */

/**
 * Whether the pump may run.
 * @param {Pipes} pipes
 * @param {State} state
 * @param {string} moment
 * @returns {Check}
 */
export function check(pipes, state, moment) {
  const shown = pipes.shown[moment];
  if (!shown) return { ok: true, unknown: [], differ: [], stops: [] };
  const all = wanted(pipes, shown).map((each) => ({ ...each, has: state.handles[each.part] }));
  const unknown = all.filter((each) => each.has === undefined && each.wants !== "off");
  const differ = all.filter((each) => each.has !== undefined && each.has !== each.wants);
  const key = wayKey(pipes, state.handles);
  const codes = key === null ? [] : (pipes.refused[moment]?.[key] ?? []);
  const stops = codes.map((code) => pipes.sentences[code] ?? "");
  return { ok: !unknown.length && !differ.length && !stops.length, unknown, differ, stops };
}

/** @param {Pipes} pipes @param {LineUp} shown @returns {Omit<Apart, "has">[]} */
function wanted(pipes, shown) {
  return [
    ...Object.entries(shown.handles).map(([part, wants]) => ({ part, wants, kind: /** @type {const} */ ("handle") })),
    ...Object.entries(shown.hose_ends).map(([part, wants]) => ({ part, wants, kind: /** @type {const} */ ("hose") })),
    ...(pipes.water ? [{ part: pipes.water, wants: shown.water, kind: /** @type {const} */ ("water") }] : []),
  ];
}

/** @param {{part: string, wants: string, kind: string}} each */
export function stands(each) {
  if (each.kind === "hose") return each.wants === "capped" ? `end of ${each.part} capped` : `end of ${each.part} at ${each.wants}`;
  if (each.kind === "water") return `water ${each.wants}`;
  return ["open", "shut", "off"].includes(each.wants) ? `${each.part} ${each.wants}` : `${each.part} to ${each.wants}`;
}

/** Why the pump is refused, in sentences. @param {Check} found */
export function refusals(found) {
  return [
    ...found.differ.map((each) => `${stands({ ...each, wants: each.has ?? "" })}; it has to be: ${stands(each)}.`),
    ...found.stops,
  ];
}

/** One act of the hand, in words. @param {[string, string, string]} turn */
export function actWords([act, part, to]) {
  if (act === "pump") return `Switch ${part} ${to}`;
  if (act === "water") return `Turn the water ${to}`;
  if (act === "hose") return `Put the end of ${part} to ${to}`;
  return ["open", "shut", "off"].includes(to) ? `Turn ${part}: ${to}` : `Turn ${part} to ${to}`;
}

/** Whether an act is so already. @param {State} state @param {[string, string, string]} turn */
export function isSo(state, [act, part, to]) {
  return act === "pump" ? state.pumpOn === (to === "on") : state.handles[part] === to;
}

/** @param {Pipes} pipes @param {string} moment @param {State} state */
export function lineUpPart(pipes, moment, state) {
  const shown = pipes.shown[moment];
  if (!shown) return null;
  const rows = wanted(pipes, shown).map((each) => {
    const has = state.handles[each.part];
    const note = has === undefined ? "not said yet" : has === each.wants ? "so" : `now: ${has}`;
    return el("li", { class: has === each.wants ? "so" : "open" }, stands(each), el("small", {}, ` (${note})`));
  });
  const pump = pipes.pump ?? "pump";
  const so = state.pumpOn === (shown.pump === "on");
  rows.push(el("li", { class: so ? "so" : "open" }, `${pump} ${shown.pump}`, el("small", {}, so ? " (so)" : ` (now: ${state.pumpOn ? "on" : "off"})`)));
  const part = el("section", { "aria-label": "How the pipes have to stand" }, el("h2", {}, "Line-up"), el("ul", { class: "stands" }, ...rows));
  const drawn = pictured(pipes.pictures[shown.picture]);
  if (drawn) part.append(el("div", { class: "picture" }, drawn));
  return part;
}

/** @param {string | undefined} svg */
function pictured(svg) {
  if (!svg) return null;
  const read = new DOMParser().parseFromString(svg, "image/svg+xml");
  return read.querySelector("parsererror") ? null : document.importNode(read.documentElement, true);
}
