// When the day goes otherwise: an interruption, something that is off, how it stands.
// First from the tables this device carries; the whole day again only by the server.

import { takenEvent } from "./deck_acts.js";
import { el, late, touch, wallClock } from "./deck_dom.js";
import { keypad } from "./deck_entry.js";
import { coming } from "./deck_fold.js";
import { between, said, unitsOf } from "./deck_numbers.js";
import { ask } from "./deck_sync.js";
import { ownStanding, ownWays } from "./deck_ways.js";

/** @import { Step, Way } from "./deck_types.js" */
/** @import { Unit } from "./deck_numbers.js" */
/** @import { Run } from "./deck_run.js" */

/** What is said before anything else. @param {Run} run */
const first = (run) =>
  `First: switch ${run.deck.has_pump === false ? "the element off" : "element and pump off at their switches"}. Look at the level, and that the element is covered.`;
const NEEDS_SERVER = "This is from the tables on this device. Working the whole day out again needs the computer.";
const NOT_HERE = "The computer does not answer, and the tables on this device end before this. Your entries are kept here.";
const TROUBLES = [
  ["gravity-low", "Gravity low"], ["gravity-high", "Gravity high"], ["volume-short", "Too few litres"],
  ["volume-over", "Too many litres"], ["water-off", "Water not as planned"], ["strike-off", "Strike water off"], ["mash-off", "Mash too cold or warm"], ["dose-late", "A dose is late"],
  ["wort-warm", "Wort too warm"], ["clogged", "Something clogs"],
];

/** The step that says the water stands over the element. @param {Run} run @returns {Step | undefined} */
const covered = (run) => run.deck.steps.find((step) => step.id.endsWith("/covered"));

/** @param {Run} run @param {number} away_min how long nobody saw the deck; 0 if it was asked for */
export function interruption(run, away_min) {
  const confirm = async () => {
    const step = covered(run);
    await run.write([
      ...(run.deck.has_pump === false ? [] : [{ kind: "pump", on: false }]),
      ...(step ? [{ kind: "step done", step: step.id }] : []),
    ]);
    howLong(run, away_min);
  };
  run.show({
    key: "interruption",
    build: () => ({
      main: [
        el("h1", { class: "first-line" }, first(run)),
        el("p", { class: "safety" }, el("b", {}, "Caution: "), "dry hands at the switches. An element that runs dry can start a fire."),
        away_min > 0 && el("p", {}, `Nobody saw this deck for ${Math.round(away_min)} min.`),
      ],
      foot: [
        touch("Off, and the element is covered", confirm, "first"),
        el("div", { class: "row" }, touch(away_min > 0 ? "Nothing stopped" : "Back", run.home)),
      ],
    }),
  });
}

/** @param {Run} run @param {number} away_min */
function howLong(run, away_min) {
  const units = unitsOf("time", run.deck);
  const start = away_min >= 1 ? String(Math.round(away_min)) : "";
  const lead = "Minutes without heat.";
  run.show(keypad("How long was the heat off?", "time", units, (off_min) => lid(run, off_min), { lead, start, back: run.home }));
}

/** @param {Run} run @param {number} off_min */
function lid(run, off_min) {
  const told = async (/** @type {boolean} */ lid_on) => {
    const text = `The heat was off for ${Math.round(off_min)} min, lid ${lid_on ? "on" : "off"}`;
    await run.write([{ kind: "deviation", text, trouble: "boil-cut", ...cutOf(run, off_min, lid_on) }]);
    became(run, off_min, lid_on);
  };
  run.show({
    key: "lid",
    build: () => ({
      main: [el("h1", {}, "Was the lid on?")],
      foot: [el("div", { class: "row" }, touch("Lid off", () => told(false), "first"), touch("Lid on", () => told(true), "first"))],
    }),
  });
}

/** The cut of a boil in numbers, for the day to be worked out with it. @param {Run} run @param {number} off_min @param {boolean} lid_on */
function cutOf(run, off_min, lid_on) {
  const begun = run.state.phases.get("boil")?.begun.min;
  const now = run.now();
  if (run.state.phase !== "boil" || begun == null || now === null) return {};
  const table = run.deck.tables.interruption;
  const wait_min = between(table.off_min, (lid_on ? table.lid_on : table.lid_off).to_boil_min, off_min) ?? 0;
  const boiled_min = Math.max(now - off_min - begun, 0);
  return { change: { off_min, boiled_min, wait_min, ...(lid_on ? { lid_on } : {}) } };
}

/** What became of it by this device's tables, then by the server. @param {Run} run @param {number} off_min @param {boolean} lid_on */
function became(run, off_min, lid_on) {
  const cut = (run.now() ?? 0) - off_min;
  const lines = el("div", { class: "lines", "aria-live": "polite" }, ...ownLines(run, off_min, lid_on, cut));
  const boil = run.state.phase === "boil";
  const back = async () => {
    const moved = coming(run.deck, run.state)
      .filter((alarm) => run.deck.steps.some((step) => step.id === alarm.id && step.phase === run.state.phase))
      .map((alarm) => ({ kind: "not yet", step: alarm.id, again_min: Math.max(alarm.dueMin - cut, 0) }));
    await run.write(moved);
    run.home();
    run.tell("The times of this phase are moved on.");
  };
  run.show({
    key: "became",
    build: () => ({
      main: [el("p", { class: "first-line" }, first(run)), lines],
      foot: [
        touch(boil ? "It boils again: move the times" : "It goes on: move the times", back, "first"),
        el("div", { class: "row" }, touch("Leave the times", run.home)),
      ],
    }),
  });
  const begun = run.state.phases.get("boil")?.begun.min;
  const boiled = boil && begun != null ? `&boiled_min=${Math.max(cut - begun, 0).toFixed(2)}` : "";
  const query = `off_min=${off_min}&lid_on=${lid_on}${boiled}`;
  ask(`/api/lots/${run.deck.lot.number}/interruption?${query}`).then(
    ({ ok, told }) => {
      if (!ok) return;
      const ways = told.ways.map((/** @type {Way} */ way) => wayPart(run, way, "boil-cut"));
      const rows = told.lines.slice(1).map((/** @type {string} */ line) => el("p", {}, line));
      lines.replaceChildren(...rows, ...overdue(run), ...newTimes(run, cut, told.became?.to_boil_min ?? 0), ...ways);
    },
    () => lines.append(el("p", { class: "quiet" }, NEEDS_SERVER)),
  );
}

/** @param {Run} run @param {number} off_min @param {boolean} lid_on @param {number} cut */
function ownLines(run, off_min, lid_on, cut) {
  const phase = run.deck.phases.find((each) => each.id === run.state.phase);
  const where = phase ? `You are in: ${phase.words}.` : "You are between two phases.";
  const found = [el("p", {}, `${where} The heat was off for ${Math.round(off_min)} min.`)];
  const table = run.deck.tables.interruption;
  const rows = lid_on ? table.lid_on : table.lid_off;
  const unit = /** @type {Unit} */ (unitsOf("temperature", run.deck)[0]);
  const [wort_c, ibu, to_boil] = [rows.wort_c, rows.ibu_gained, rows.to_boil_min].map((each) => between(table.off_min, each, off_min));
  if (phase?.id !== "boil" || wort_c == null || ibu == null || to_boil == null) {
    found.push(el("p", {}, "Read the temperature now and enter it."));
    return [...found, ...overdue(run), ...newTimes(run, cut, 0)];
  }
  found.push(
    el("p", {}, `The wort is now at about ${said(wort_c, unit)}; it earned about ${ibu.toFixed(0)} IBU meanwhile.`),
    el("p", {}, `Back to the boil takes about ${to_boil.toFixed(0)} min at full power, only with the element covered.`),
  );
  return [...found, ...overdue(run), ...newTimes(run, cut, to_boil)];
}

/** @param {Run} run */
function overdue(run) {
  const now = run.now() ?? 0;
  const rows = coming(run.deck, run.state).filter((alarm) => alarm.dueMin < now);
  if (!rows.length) return [];
  return [el("h2", {}, "Overdue"), el("ul", {}, ...rows.map((alarm) => el("li", {}, `${late(now - alarm.dueMin)}: ${alarm.text}`)))];
}

/** @param {Run} run @param {number} cut @param {number} to_boil */
function newTimes(run, cut, to_boil) {
  const now = run.now() ?? 0;
  const here = coming(run.deck, run.state).filter((alarm) => run.deck.steps.some((step) => step.id === alarm.id && step.phase === run.state.phase));
  if (!here.length) return [];
  const rows = here.map((alarm) => el("li", {}, `${wallClock(to_boil + Math.max(alarm.dueMin - cut, 0))}: ${alarm.text}`));
  return [el("h2", {}, `New times, if it ${to_boil ? `boils at ${wallClock(to_boil)}` : "goes on now"}`), el("ul", { "data-now": now.toFixed(1) }, ...rows)];
}

/** @param {Run} run @param {Way} way @param {string} trouble */
function wayPart(run, way, trouble) {
  const volume = /** @type {Unit} */ (unitsOf("volume", run.deck)[0]);
  const minutes = `${way.minutes_min > 0 ? "+" : ""}${way.minutes_min.toFixed(0)} min`;
  const price = `${said(way.fermenter_l, volume)} cold, ${way.original_sg.toFixed(3)}, ${way.ibu.toFixed(0)} IBU, ${minutes} (${way.trust})`;
  const take = async () => {
    await run.write([takenEvent(way, trouble)]);
    run.home();
    run.tell(`Taken: ${way.text}`);
  };
  return el(
    "section",
    { class: "way" },
    el("p", {}, way.text),
    el("p", { class: "price" }, price),
    way.needs.length > 0 && el("p", { class: "quiet" }, `Needs: ${way.needs.join(", ")}`),
    way.safety && el("p", { class: "safety" }, el("b", {}, "Caution: "), way.safety),
    touch("Take this way", take),
  );
}

/** @param {Run} run */
export function somethingOff(run) {
  run.show({
    key: "off",
    build: () => ({
      main: [
        el("h1", {}, "What is off?"),
        el("div", { class: "menu" }, ...TROUBLES.map(([code, words]) => touch(words ?? "", () => factsOf(run, code ?? "")))),
      ],
      foot: [el("div", { class: "row" }, touch("Back", run.home))],
    }),
  });
}

/** Asks what a trouble has to be told. @param {Run} run @param {string} trouble */
function factsOf(run, trouble) {
  const heat = (/** @type {string} */ title, /** @type {string} */ name) =>
    run.show(keypad(title, "temperature", unitsOf("temperature", run.deck), (core) => waysOf(run, trouble, { [name]: core }), { back: run.home }));
  if (trouble === "strike-off") heat("What does the water read?", "strike_c");
  else if (trouble === "mash-off") heat("What does the mash read?", "mash_c");
  else if (trouble === "wort-warm") heat("What does the wort read?", "wort_c");
  else if (trouble === "dose-late") {
    const doses = run.deck.steps.filter((step) => step.dose && !run.state.doses.has(step.dose));
    run.show({
      key: "dose",
      build: () => ({
        main: [el("h1", {}, "Which dose?"), el("div", { class: "menu" }, ...doses.map((step) => touch(step.text, () => waysOf(run, trouble, { dose: step.dose }))))],
        foot: [el("div", { class: "row" }, touch("Back", run.home))],
      }),
    });
  } else waysOf(run, trouble, {});
}

/** The ways out of a trouble: by this device's tables at once, then by the server. @param {Run} run @param {string} trouble @param {import("./deck_ways.js").Told} facts */
export function waysOf(run, trouble, facts) {
  const own = ownWays(run, trouble, facts);
  const asking = el("p", { class: "quiet" }, "Asking the computer.");
  const parts = own ? [el("p", {}, own.lead), ...own.ways.map((way) => wayPart(run, way, trouble)), own.bound && el("p", { class: "quiet" }, own.bound)] : [];
  const place = el("div", { "aria-live": "polite" }, ...parts, asking);
  const query = new URLSearchParams({ trouble, ...Object.fromEntries(Object.entries(facts).map(([name, each]) => [name, String(each)])) });
  run.show({
    key: `ways ${trouble}`,
    build: () => ({
      main: [el("h1", {}, TROUBLES.find(([code]) => code === trouble)?.[1] ?? trouble), place],
      foot: [el("div", { class: "row" }, touch("Back", run.home))],
    }),
  });
  ask(`/api/lots/${run.deck.lot.number}/ways?${query}`).then(
    ({ ok, told }) => {
      if (!ok) {
        asking.replaceWith(el("p", {}, told.error?.text ?? "The computer cannot say."));
        return;
      }
      const asked = told.question_first.map((/** @type {Doubt} */ each) => questioned(run, each));
      const where = told.where.map((/** @type {string} */ each) => el("p", {}, each));
      place.replaceChildren(...asked, ...where, ...told.troubles.flatMap((/** @type {{ways: Way[]}} */ each) => each.ways.map((way) => wayPart(run, way, trouble))));
    },
    () => asking.replaceWith(el("p", { class: "quiet" }, own ? NEEDS_SERVER : NOT_HERE)),
  );
}

/** @typedef {{text: string, ask: string, entry: string, holds: boolean}} Doubt */

/** A reading that is odd; one that holds counts for nothing until it is right. @param {Run} run @param {Doubt} doubt */
function questioned(run, doubt) {
  const right = async () => {
    await run.write([{ kind: "override", check: `reading ${doubt.entry}` }]);
    run.home();
    run.tell("It counts as it stands.");
  };
  const said = el("p", { class: "safety" }, `${doubt.text} ${doubt.ask}${doubt.holds ? " Until then it counts for nothing here." : ""}`);
  return el("section", {}, said, doubt.holds && touch("It is right", right));
}

/** Steps to come whose words have moved. @param {import("./deck_moved.js").Moved[]} steps */
function movedPart(steps) {
  const rows = steps.flatMap((each) => (each.was ? [el("li", {}, el("p", {}, each.text), el("p", { class: "quiet" }, `was: ${each.was}`))] : []));
  return rows.length ? [el("h2", {}, "Steps that have moved"), el("ul", { class: "plain" }, ...rows)] : [];
}

/** The day as it stands, by the server. @param {Run} run */
export function howItStands(run) {
  const place = el("div", { "aria-live": "polite" }, el("p", {}, "Asking the computer."));
  run.show({
    key: "stands",
    build: () => ({ main: [el("h1", {}, "Where it lands"), place], foot: [el("div", { class: "row" }, touch("Back", run.home))] }),
  });
  const volume = /** @type {Unit} */ (unitsOf("volume", run.deck)[0]);
  const row = (/** @type {string} */ name, /** @type {any} */ each) =>
    el("p", { class: "price" }, `${name}: ${said(each.fermenter_l, volume)} cold, ${each.original_sg.toFixed(3)}, ${each.ibu.toFixed(0)} IBU`);
  ask(`/api/lots/${run.deck.lot.number}/replanned`).then(
    ({ ok, told }) => {
      if (!ok) return place.replaceChildren(el("p", {}, told.error?.text ?? "The computer cannot say."));
      const words = new Map(run.deck.phases.map((phase) => [phase.id, phase.words]));
      const times = told.times.filter((/** @type {{fact: boolean}} */ each) => !each.fact).map((/** @type {{phase: string, begins_min: number, ends_min: number}} */ each) => el("li", {}, `${wallClock(each.ends_min - (run.now() ?? 0))}: end of ${words.get(each.phase) ?? each.phase}`));
      place.replaceChildren(row("Planned", told.before), row("Now", told.after), ...[...told.apart, ...told.where].map((/** @type {{text: string}} */ each) => el("p", {}, each.text)), ...movedPart(told.steps), el("h2", {}, "Still to come"), el("ul", {}, ...times));
    },
    () => {
      const own = ownStanding(run).map((each) => el("p", { class: "price" }, each));
      place.replaceChildren(...own, el("p", {}, "The computer does not answer. Your entries are kept here; working the whole day out again needs it."));
    },
  );
}
