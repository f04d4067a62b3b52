// Everything that is not the next thing: readings, handles, the pump, mending, notes.

import { el, touch } from "./deck_dom.js";
import { askWords, readingOf } from "./deck_entry.js";
import { phaseHere } from "./deck_fold.js";
import { overrides, pumpRefusal } from "./deck_home.js";
import { howItStands, interruption, somethingOff } from "./deck_mend.js";
import { check, momentOf, pumpMoment } from "./deck_pipes.js";
import { eventWords, takeBackLast, written } from "./deck_written.js";

/** @import { Ask } from "./deck_types.js" */
/** @import { Run } from "./deck_run.js" */

/** @param {Run} run */
export function otherMenu(run) {
  const { lot, pipes } = run.deck;
  const { pumpOn } = run.state;
  const menu = [
    touch("Power or heat was off", () => interruption(run, 0)),
    touch("Something is off", () => somethingOff(run)),
    touch("A reading", () => readings(run)),
    run.deck.has_pump !== false && touch(pumpOn ? "Pump is off now" : "Pump on", () => (pumpOn ? pump(run, false) : pumpOnCheck(run))),
    pipes && touch("A handle", () => handles(run)),
    touch("Take back the last", () => takeBackLast(run)),
    touch("What is written", () => written(run)),
    touch("A note", () => note(run)),
    touch("Where it lands", () => howItStands(run)),
    el("a", { class: "touch", href: `/lots/${lot.number}/alarms.ics`, download: `lot-${lot.number}-alarms.ics` }, el("span", {}, "Alarms for the phone's clock")),
    el("a", { class: "touch", href: `/lots/${lot.number}`, target: "_blank", rel: "noopener" }, el("span", {}, "The lot's page")),
    touch("Hear a tone", () => void run.wake.touch().then(() => run.wake.blip())),
  ];
  run.show({
    key: "other",
    build: () => ({
      main: [el("h1", {}, "Other"), el("div", { class: "menu" }, ...menu.flatMap((each) => (each ? [each] : []))), ...refusedRows(run)],
      foot: [el("div", { class: "row" }, touch("Back", run.home))],
    }),
  });
}

/** What the server did not take stands here for good. @param {Run} run */
function refusedRows(run) {
  const rows = run.sync.refused;
  if (!rows.length) return [];
  return [
    el("h2", {}, "Not taken by the computer"),
    el("ul", {}, ...rows.map((row) => el("li", {}, `${eventWords(run, row.entry.event)}: ${row.why} It stays on this device.`))),
  ];
}

/** @param {Run} run */
function readings(run) {
  /** @type {Map<string, Ask>} */
  const asks = new Map();
  for (const step of run.deck.steps) if (step.ask) asks.set(askWords(step.ask), step.ask);
  const keys = [...asks].map(([words, ask]) => touch(words, () => readingOf(run, ask, null)));
  run.show({
    key: "readings",
    build: () => ({ main: [el("h1", {}, "What did you read?"), el("div", { class: "menu" }, ...keys)], foot: [el("div", { class: "row" }, touch("Back", run.home))] }),
  });
}

/** @param {Run} run @param {boolean} on @param {import("./deck_types.js").LotEvent[]} [before] */
async function pump(run, on, before = []) {
  await run.write([...before, { kind: "pump", on }]);
  run.home();
}

/** @param {Run} run */
function pumpOnCheck(run) {
  const { pipes } = run.deck;
  const phase = run.deck.phases.find((each) => each.id === phaseHere(run.deck, run.state));
  const here = phase ? momentOf(pipes, phase, undefined, run.state, run.deck.steps) : null;
  const moment = pipes ? pumpMoment(pipes, here) : null;
  run.show({
    key: "pump",
    build: () => {
      const found = pipes && moment ? check(pipes, run.state, moment) : null;
      const back = el("div", { class: "row" }, touch("Back", run.home));
      if (found && !found.ok) {
        const { main, foot } = pumpRefusal(run, found, () => void pump(run, true, overrides(found)));
        return { main, foot: [...foot, back] };
      }
      const asked = found ? "The line-up is checked." : "This rig tells no pipes, so nothing is checked. Look yourself: is the way open, is the pump full?";
      return { main: [el("h1", {}, "Pump on"), el("p", {}, asked)], foot: [touch("Done: pump on", () => void pump(run, true), "first"), back] };
    },
  });
}

/** @param {Run} run */
function handles(run) {
  const { pipes } = run.deck;
  if (!pipes) return;
  const all = [...Object.entries(pipes.handles), ...Object.entries(pipes.hose_ends)];
  if (pipes.water) all.push([pipes.water, ["on", "off"]]);
  const keys = all.flatMap(([part, stops]) =>
    stops.map((to) => {
      const act = async () => {
        await run.write([{ kind: "handle turned", part, position: to }]);
        run.home();
        run.tell(`${part}: ${to}`);
      };
      return touch(`${part}: ${to}`, () => void act(), "", run.state.handles[part] === to ? "stands so" : "");
    }),
  );
  run.show({
    key: "handles",
    build: () => ({ main: [el("h1", {}, "Which handle stands how now?"), el("div", { class: "menu" }, ...keys)], foot: [el("div", { class: "row" }, touch("Back", run.home))] }),
  });
}

/** @param {Run} run */
function note(run) {
  const field = el("textarea", { id: "note", rows: "4", maxlength: "2000" });
  const keep = async () => {
    if (field.value.trim()) await run.write([{ kind: "note", text: field.value.trim() }]);
    run.home();
  };
  run.show({
    key: "note",
    build: () => ({
      main: [el("h1", {}, "A note"), el("label", { for: "note" }, "What happened?"), field],
      foot: [el("div", { class: "row" }, touch("Back", run.home), touch("Keep", () => void keep(), "first"))],
    }),
  });
}
