// What is written: every entry, newest first, each to be corrected or taken back. Neither changes
// what was written: it is an entry of its own that stands beside the first.

import { el, touch } from "./deck_dom.js";
import { askWords, keypad, numberOf } from "./deck_entry.js";
import { undoings } from "./deck_fold.js";
import { said, unitsOf } from "./deck_numbers.js";

/** @import { Ask, Entry, Fact, LotEvent } from "./deck_types.js" */
/** @import { Unit } from "./deck_numbers.js" */
/** @import { Run } from "./deck_run.js" */

const AT_ONCE = 12;
/** What the deck writes by itself, and what stands at the entry it names. */
const NOT_LISTED = ["started", "clock adjusted", "corrected", "undone"];
const CORRECTABLE = ["measured", "note", "deviation", "handle turned", "dose in"];
/** @type {Record<string, string>} */
const VERBS = { "step done": "Done", "phase begun": "Begun", "phase ended": "Ended", "not yet": "Not yet", skipped: "Skipped", "dose in": "In", note: "Note", deviation: "Otherwise", override: "Went on against", surface: "Surface", photo: "Photo" };

/** An event in words. @param {Run} run @param {LotEvent} event */
export function eventWords(run, event) {
  const step = run.deck.steps.find((each) => each.id === event["step"]);
  const phase = run.deck.phases.find((each) => each.id === event["phase"]);
  if (event.kind === "measured") return `${askWords(/** @type {Ask} */ (/** @type {unknown} */ (event)))} ${readWords(run, event)}`;
  if (event.kind === "pump") return `Pump ${event["on"] ? "on" : "off"}`;
  if (event.kind === "handle turned") return `${event["part"]}: ${event["position"]}`;
  if (event.kind === "dose in") return `In: ${event["dose"]}${event["mass_kg"] == null ? "" : `, ${spoken(run, event["mass_kg"], "mass")}`}`;
  const plain = Object.entries(event).filter(([name, each]) => name !== "kind" && typeof each === "string" && each);
  const words = step?.text ?? phase?.words ?? plain.map(([, each]) => each).join(", ");
  return `${VERBS[event.kind] ?? event.kind}: ${words}`.replace(/\.$/, "");
}

/** A core value in the lot's own unit. @param {Run} run @param {number} core @param {string} quantity */
const spoken = (run, core, quantity) => said(core, /** @type {Unit} */ (unitsOf(quantity, run.deck)[0]));

/** A number as it was typed, and how warm it was. @param {Run} run @param {LotEvent} event */
function readWords(run, event) {
  const value = event["typed"] || spoken(run, event["value"], event["quantity"]);
  const at = event["sample_c"] == null ? "" : ` at ${spoken(run, event["sample_c"], "temperature")}`;
  return `${value}${at}${event["instrument"] === "refractometer" ? ", refractometer" : ""}`;
}

/** The list. @param {Run} run @param {string} [near] the entry to come back to @param {number} [many] */
export function written(run, near = "", many = AT_ONCE) {
  const place = listed(run).findIndex((entry) => entry.id === near);
  const shown = Math.max(many, place + 1);
  run.show({
    // what another device wrote meanwhile comes in
    get key() {
      return `written ${shown} ${run.entries.map((entry) => `${entry.id}${entry.number ? "" : "?"}`).at(-1)} ${run.entries.length} ${run.sync.waiting.length}`;
    },
    pressed: (event) => event.key === "Escape" && run.home(),
    build: () => {
      const rows = listed(run);
      const more = rows.length > shown && touch(`Show older: ${rows.length - shown} more`, () => written(run, rows[shown]?.id, shown + AT_ONCE));
      const facts = new Map(run.state.facts.map((fact) => [fact.entry.id, fact]));
      const undone = undoings(run.entries);
      const parts = rows.slice(0, shown).map((entry) => rowOf(run, entry, facts.get(entry.id), undone.get(entry.id) ?? []));
      const lead = rows.length ? "The newest first. Whatever you change, the first writing stays readable." : "Nothing yet.";
      return {
        main: [el("h1", { class: "small" }, "What is written"), el("p", { class: "quiet" }, lead), el("ol", { class: "plain written", reversed: true }, ...parts), more],
        foot: [el("div", { class: "row" }, touch("Back", run.home))],
      };
    },
  });
  const back = near && document.getElementById(`entry-${near}`);
  if (!back) return;
  back.scrollIntoView({ block: "center" });
  back.querySelector("button")?.focus({ preventScroll: true });
}

/** @param {Run} run */
const listed = (run) => run.entries.filter((entry) => !NOT_LISTED.includes(entry.event.kind)).reverse();

/** One entry as it counts now, what it was before, and what can be done about it. @param {Run} run @param {Entry} entry @param {Fact | undefined} fact @param {string[]} undoers */
function rowOf(run, entry, fact, undoers) {
  const words = eventWords(run, fact?.event ?? entry.event);
  const keys = fact
    ? [CORRECTABLE.includes(fact.event.kind) && named("Correct", words, entry, () => correct(run, fact)), named("Take back", words, entry, () => takeBack(run, fact, () => written(run, entry.id)))]
    : [named("Count it again", words, entry, () => void again(run, entry, undoers))];
  const former = (fact?.former ?? []).map((each) => el("p", { class: "former" }, "was ", el("s", {}, eventWords(run, each))));
  return el(
    "li",
    { id: `entry-${entry.id}` },
    el("p", {}, el("small", {}, `${clockWords(entry)} `), fact ? words : el("s", {}, words), !fact && el("b", {}, " taken back")),
    ...former,
    el("div", { class: "row" }, ...keys.flatMap((each) => (each ? [each] : []))),
  );
}

/** A key that says to ears what it is about, and that is found again after drawing. @param {string} verb @param {string} words @param {Entry} entry @param {() => void} act */
function named(verb, words, entry, act) {
  const made = touch(verb, act);
  made.setAttribute("aria-label", `${verb}: ${words}`);
  made.id = `${verb.toLowerCase().replaceAll(" ", "-")}-${entry.id}`;
  return made;
}

/** When, and whether it is still on its way. @param {Entry} entry */
function clockWords(entry) {
  const at_ms = entry.paper ? entry.written_ms : entry.wall_ms;
  const waits = entry.number ? "" : ", waits for the computer";
  if (at_ms == null) return `from paper${waits}`;
  const then = new Date(at_ms);
  return `${String(then.getHours()).padStart(2, "0")}:${String(then.getMinutes()).padStart(2, "0")}${waits}`;
}

/** Asks before it is taken back. @param {Run} run @param {Fact} fact @param {() => void} after */
function takeBack(run, fact, after) {
  const { event, entry } = fact;
  const step = event.kind === "measured" && run.state.steps.get(event["step"]) === "done";
  const left = step ? " Its step stays done: read it again under Other." : "";
  const go = async () => {
    after();
    await run.write([{ kind: "undone", entry: entry.id }]);
    run.tell("Taken back. It stays readable.");
  };
  run.show({
    key: `take back ${entry.id}`,
    pressed: (pressed) => pressed.key === "Escape" && after(),
    build: () => ({
      main: [el("h1", {}, "Take it back?"), el("p", {}, `${eventWords(run, event)}.`), el("p", {}, `Both stay in the record.${left}`)],
      foot: [el("div", { class: "row" }, touch("No, back", after, "first"), touch("Take it back", () => void go()))],
    }),
  });
}

/** @param {Run} run @param {Entry} entry @param {string[]} undoers what undoes it, all of which is undone */
async function again(run, entry, undoers) {
  await run.write(undoers.map((each) => ({ kind: "undone", entry: each })));
  written(run, entry.id);
  run.tell("It counts again.");
}

/** The last thing this device wrote. @param {Run} run */
export function takeBackLast(run) {
  const last = run.state.facts.filter((fact) => fact.entry.device === run.sync.store.device && !NOT_LISTED.includes(fact.event.kind)).at(-1);
  if (last) takeBack(run, last, run.home);
  else {
    run.home();
    run.tell("Nothing was written on this device yet.");
  }
}

/** Asks for what it should have been. @param {Run} run @param {Fact} fact */
function correct(run, fact) {
  const { event, entry } = fact;
  const back = () => written(run, entry.id);
  const keep = async (/** @type {LotEvent} */ meant) => {
    back();
    await run.write([{ kind: "corrected", entry: entry.id, event: meant }]);
    run.tell(`Corrected: ${eventWords(run, meant)}.`);
  };
  if (event.kind === "measured") reading(run, event, (meant) => void keep(meant), back);
  else if (event.kind === "handle turned") handle(run, event, (meant) => void keep(meant), back);
  else if (event.kind === "dose in") {
    const lead = eventWords(run, event);
    run.show(keypad(`Correct: mass of ${event["dose"]}`, "mass", unitsOf("mass", run.deck), (mass_kg) => void keep({ ...event, mass_kg }), { lead, back }));
  } else text(run, event, (meant) => void keep(meant), back);
}

/** @param {Run} run @param {LotEvent} event @param {(meant: LotEvent) => void} keep @param {() => void} back */
function reading(run, event, keep, back) {
  const step = run.deck.steps.find((each) => each.id === event["step"]) ?? null;
  const same = (/** @type {Ask | null} */ ask) => ask?.of === event["of"] && ask?.quantity === event["quantity"];
  const owner = step && same(step.ask) ? step : (run.deck.steps.find((each) => same(each.ask)) ?? null);
  const ask = owner?.ask ?? { of: event["of"], quantity: event["quantity"], planned: null, low: null, high: null, hot: false, on_sheet: false };
  const meant = (/** @type {LotEvent} */ made) => {
    // what it was read with stays, unless the unit tells another
    const kept = event["quantity"] !== "gravity" && event["instrument"] ? { instrument: event["instrument"] } : {};
    keep({ ...made, ...kept, step: event["step"] ?? "" });
  };
  numberOf(run, ask, { title: `Correct: ${askWords(ask)}`, lead: `Written: ${readWords(run, event)}.`, step: owner, keep: meant, back });
}

/** @param {Run} run @param {LotEvent} event @param {(meant: LotEvent) => void} keep @param {() => void} back */
function handle(run, event, keep, back) {
  const { pipes } = run.deck;
  const part = event["part"];
  const stops = pipes?.handles[part] ?? pipes?.hose_ends[part] ?? ["on", "off"];
  const keys = stops.filter((to) => to !== event["position"]).map((to) => touch(`${part}: ${to}`, () => keep({ ...event, position: to })));
  run.show({
    key: `correct ${part}`,
    pressed: (pressed) => pressed.key === "Escape" && back(),
    build: () => ({
      main: [el("h1", {}, `How did ${part} stand?`), el("p", {}, `Written: ${eventWords(run, event)}.`), el("div", { class: "menu" }, ...keys)],
      foot: [el("div", { class: "row" }, touch("Back", back))],
    }),
  });
}

/** @param {Run} run @param {LotEvent} event @param {(meant: LotEvent) => void} keep @param {() => void} back */
function text(run, event, keep, back) {
  const field = el("textarea", { id: "meant", rows: "4", maxlength: "2000" });
  field.value = event["text"];
  const done = () => (field.value.trim() && field.value.trim() !== event["text"] ? keep({ ...event, text: field.value.trim() }) : back());
  run.show({
    key: "correct text",
    build: () => ({
      main: [el("h1", {}, "Correct the words"), el("label", { for: "meant" }, "What did you mean?"), field],
      foot: [el("div", { class: "row" }, touch("Back", back), touch("Keep", done, "first"))],
    }),
  });
}
