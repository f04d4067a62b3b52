// Entering a reading: one number, its unit, how warm it was; all by large keys.

import { el, touch } from "./deck_dom.js";
import { waysOf } from "./deck_mend.js";
import { cannotBe, countsAs, said, unitsOf } from "./deck_numbers.js";

/** @import { Ask, LotEvent, Step } from "./deck_types.js" */
/** @import { Unit } from "./deck_numbers.js" */
/** @import { Panel, Run } from "./deck_run.js" */

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "back"];
const SAMPLE_C = [10, 15, 20, 25, 30, 40, 50, 60];
const HOT_C = [20, 40, 60, 80];
const SPOKEN = { of: { water: "Water", strike: "Strike water", mash: "Mash", preboil: "Before the boil", postboil: "After the boil", rest: "End of the rest", chilled: "Chilled wort", fermenter: "Fermenter", original: "Original", pitch: "Wort for the yeast" }, quantity: { turning: "turns a minute", time: "minutes" } };

/** What is read, in words. @param {Ask} ask */
export function askWords(ask) {
  /** @type {Record<string, string>} */
  const names = SPOKEN.of;
  /** @type {Record<string, string>} */
  const quantities = SPOKEN.quantity;
  const name = names[ask.of] ?? ask.of.charAt(0).toUpperCase() + ask.of.slice(1);
  return `${name}: ${quantities[ask.quantity] ?? ask.quantity}`;
}

/**
 * A panel with large keys; `done` is given the number in core units and its unit.
 * @param {string} title
 * @param {string} quantity
 * @param {Unit[]} units
 * @param {(core: number, unit: Unit, typed: string) => void} done
 * @param {{lead?: string, start?: string, back: () => void}} how
 * @returns {Panel}
 */
export function keypad(title, quantity, units, done, how) {
  let typed = how.start ?? "";
  let unit = /** @type {Unit} */ (units[0]);
  const shown = el("output", { class: "typed", "aria-live": "polite" });
  const told = el("p", { class: "told", role: "status" });
  const pads = units.map((each) => touch(each.unit || "pH", () => ((unit = each), show()), "unit"));
  const show = () => {
    shown.textContent = `${typed || "…"} ${unit.unit}`;
    units.forEach((each, place) => pads[place]?.setAttribute("aria-pressed", String(each === unit)));
    const core = Number(typed);
    told.textContent = typed && quantity === "gravity" && core > 900 ? `This is ${said(unit.to(core), unit)}.` : (how.lead ?? "");
  };
  /** @param {string} key */
  const press = (key) => {
    if (key === "back") typed = typed.slice(0, -1);
    else if (key !== "." || !typed.includes(".")) typed = `${typed}${key}`.slice(0, 8);
    show();
  };
  const keep = () => {
    const core = unit.to(Number(typed));
    if (!typed || !Number.isFinite(core)) {
      told.textContent = "Type a number first.";
      return;
    }
    const wrong = cannotBe(quantity, core, unit);
    if (wrong) told.textContent = wrong;
    else done(core, unit, `${typed} ${unit.unit}`.trim());
  };
  show();
  const keys = KEYS.map((key) => {
    const made = touch(key === "back" ? "⌫" : key, () => press(key), "key");
    if (key === "back") made.setAttribute("aria-label", "Take the last digit away");
    return made;
  });
  // Digits in three columns; the fourth holds the units and, under them, what keeps the number.
  const fourth = [...pads.slice(0, 3), ...Array.from({ length: 3 - Math.min(pads.length, 3) }, () => el("span")), touch("Keep", keep, "first")];
  const grid = fourth.flatMap((each, row) => [...keys.slice(3 * row, 3 * row + 3), each]);
  /** @param {KeyboardEvent} event */
  const pressed = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const key = { Backspace: "back", ",": "." }[event.key] ?? event.key;
    if (KEYS.includes(key)) press(key);
    else if (event.key === "Escape") how.back();
    // on a button it is that button's
    else if (event.key === "Enter" && !(event.target instanceof HTMLButtonElement)) keep();
    else return;
    event.preventDefault();
  };
  return {
    key: `keypad ${title}`,
    pressed,
    build: () => ({
      main: [el("h1", { class: "small" }, title), shown, told, el("div", { class: "keys" }, ...grid)],
      foot: [el("div", { class: "row" }, touch("Back", how.back))],
    }),
  };
}

/**
 * How warm the sample or the wort was: one touch keeps the reading.
 * @param {Run} run
 * @param {string} title
 * @param {number[]} temps_c
 * @param {(sample_c: number) => void} done
 * @param {() => void} back
 * @returns {Panel}
 */
function warmth(run, title, temps_c, done, back) {
  const unit = /** @type {Unit} */ (unitsOf("temperature", run.deck)[0]);
  const other = () =>
    run.show(keypad(title, "temperature", unitsOf("temperature", run.deck), (core) => done(core), { back }));
  const keys = temps_c.map((each) => touch(`${unit.from(each).toFixed(0)} ${unit.unit}`, () => done(each), "key"));
  return {
    key: `warmth ${title}`,
    build: () => ({
      main: [el("h1", {}, title), el("div", { class: "menu temps" }, ...keys, touch("Other", other, "key"))],
      foot: [el("div", { class: "row" }, touch("Back", back))],
    }),
  };
}

/**
 * Asks for a reading and writes it down, with the step it belongs to, if any.
 * @param {Run} run
 * @param {Ask} ask
 * @param {Step | null} step
 */
export function readingOf(run, ask, step) {
  const lead = planned(run, ask);
  const keep = async (/** @type {LotEvent} */ made) => {
    run.home();
    await (step ? run.finish(step, [made]) : run.write([made]));
    run.tell(verdict(run, ask, made));
    const off = missed(ask, made);
    if (off) waysOf(run, off.trouble, off.told);
  };
  numberOf(run, ask, { title: askWords(ask), lead, step, keep: (made) => void keep(made), back: run.home });
}

/** @type {Record<string, [string, string, number]>} a temperature's trouble, what it is told, and from how far off */
const MISSES = { strike: ["strike-off", "strike_c", 1], mash: ["mash-off", "mash_c", 1], chilled: ["wort-warm", "wort_c", 2], pitch: ["wort-warm", "wort_c", 2] };

/** A temperature that is missed has ways out at once. @param {Ask} ask @param {LotEvent} made */
function missed(ask, made) {
  const [trouble, name, limit] = MISSES[ask.of] ?? ["", "", 0];
  if (!trouble || ask.quantity !== "temperature" || ask.planned === null) return null;
  const apart = made["value"] - ask.planned;
  const off = trouble === "wort-warm" ? apart > limit : Math.abs(apart) > limit;
  return off ? { trouble, told: { [name]: made["value"] } } : null;
}

/** What the plan says of a reading. @param {Run} run @param {Ask} ask */
function planned(run, ask) {
  if (ask.planned === null) return "";
  const heat = ask.quantity !== "volume" ? "" : ask.hot ? " hot" : " cold";
  return `Planned ${said(ask.planned, /** @type {Unit} */ (unitsOf(ask.quantity, run.deck)[0]))}${heat}.`;
}

/** @typedef {{title: string, lead: string, step: Step | null, keep: (made: LotEvent) => void, back: () => void}} How */

/** Asks for the number, and how warm it was where that counts. @param {Run} run @param {Ask} ask @param {How} how */
export function numberOf(run, ask, how) {
  const done = (/** @type {number} */ value, /** @type {Unit} */ unit, /** @type {string} */ typed) => {
    const made = { kind: "measured", of: ask.of, quantity: ask.quantity, value, typed, step: how.step?.id ?? "" };
    warmOf(run, ask, how, made, unit);
  };
  run.show(keypad(how.title, ask.quantity, unitsOf(ask.quantity, run.deck), done, { lead: how.lead, back: how.back }));
}

/** @param {Run} run @param {Ask} ask @param {How} how @param {LotEvent} made @param {Unit} unit */
function warmOf(run, ask, how, made, unit) {
  const owner = how.step ?? run.deck.steps.find((each) => each.ask === ask);
  const phase = run.deck.phases.find((each) => each.id === owner?.phase);
  const warm = (/** @type {string} */ title, /** @type {number[]} */ temps_c, /** @type {string} */ instrument) =>
    run.show(warmth(run, title, temps_c, (sample_c) => how.keep({ ...made, instrument, sample_c }), how.back));
  if (ask.quantity === "gravity") {
    if (unit.instrument) how.keep({ ...made, instrument: unit.instrument, sample_c: 20 });
    else warm("How warm was the sample?", SAMPLE_C, "hydrometer");
  } else if (ask.quantity === "volume") {
    const usual = ask.of === "fermenter" ? [15, 18, 20, 25] : HOT_C;
    const wort_c = ask.hot ? phase?.end_c : phase?.start_c;
    warm("How warm was it at the mark?", [...new Set([...(wort_c == null ? [] : [Math.round(wort_c)]), ...usual])], "mark");
  } else {
    how.keep({ ...made, instrument: ask.quantity === "temperature" ? "thermometer" : "other" });
  }
}

/** What a reading means, at 20 C, beside the plan. @param {Run} run @param {Ask} ask @param {LotEvent} made */
export function verdict(run, ask, made) {
  const unit = /** @type {Unit} */ (unitsOf(ask.quantity, run.deck)[0]);
  const kept = `Kept: ${made["typed"]}.`;
  if (!["gravity", "volume"].includes(ask.quantity)) return kept;
  const hydrometer = made["instrument"] === "hydrometer";
  if (hydrometer && made["sample_c"] > 60) return `${kept} ${run.deck.tables.hydrometer.above_c}`;
  const counts = countsAs(run.deck, made);
  if (counts === null) return `${kept} The tables end before it; the computer works it out.`;
  const warm = /** @type {Unit} */ (unitsOf("temperature", run.deck)[0]);
  const cold = ask.quantity === "volume" ? " cold" : "";
  const plan = ask.planned === null || ask.hot ? "" : ` Planned ${said(ask.planned, unit)}${cold}.`;
  const doubt = hydrometer && made["sample_c"] > 25 ? " A warm sample is a guess: cool it and read again before you mend anything." : "";
  return `${kept} At ${warm.from(20).toFixed(0)} ${warm.unit} that is ${said(counts, unit)}${cold}.${plan}${doubt}`;
}
