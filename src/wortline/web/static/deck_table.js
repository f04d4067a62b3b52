// Litres and gravity before the boil: where they land and the first way out, from the table that this
// device carries. It says how far that may be from the computer's own answer.

import { across, between, countsAs, said, unitsOf } from "./deck_numbers.js";

/** @import { LotEvent, Preboil, Way } from "./deck_types.js" */
/** @import { Unit } from "./deck_numbers.js" */
/** @import { Run } from "./deck_run.js" */

const KG_L = 0.9982;
const WARM_C = 25;
const HOT_ADD = "Pour it in slowly along the wall, element down: it foams up.";

/** @typedef {{fermenter_l: number, original_sg: number, ibu: number, water_l: number, malt_kg: number, missing_l: number, water_ibu: number, malt_ibu: number, where: string, warm: boolean}} Landing */

/** The last reading before the boil. @param {Run} run @param {string} quantity @returns {LotEvent | null} */
const last = (run, quantity) => run.state.readings.filter(({ event }) => event["of"] === "preboil" && event["quantity"] === quantity).at(-1)?.event ?? null;

/** Where the wort lands by litres and gravity before the boil; null where that is not known here. @param {Run} run @returns {Landing | null} */
export function landing(run) {
  const table = run.deck.tables.preboil;
  const [volume, strength] = [last(run, "volume"), last(run, "gravity")];
  const boiled = run.state.readings.some(({ event }) => event["of"] === "postboil" || event["of"] === "fermenter");
  if (!volume || !strength || boiled || !table.fermenter_l) return null;
  const [litres, gravity] = [countsAs(run.deck, volume), countsAs(run.deck, strength)];
  if (litres === null || gravity === null) return null;
  const at = (/** @type {number[][]} */ grid) => across(table.preboil_l, table.preboil_sg, grid, litres, gravity);
  const found = [table.fermenter_l, table.original_sg, table.ibu, table.water_l, table.malt_kg, table.missing_l, table.water_ibu, table.malt_ibu].map(at);
  if (found.some((each) => each === null)) return null;
  const [fermenter_l = 0, original_sg = 0, ibu = 0, water_l = 0, malt_kg = 0, missing_l = 0, water_ibu = 0, malt_ibu = 0] = /** @type {number[]} */ (found);
  const plato = between(run.deck.plato.sg, run.deck.plato.plato, gravity) ?? table.planned.preboil_plato;
  const warm = strength["instrument"] === "hydrometer" && (strength["sample_c"] ?? 20) > WARM_C;
  return { fermenter_l, original_sg, ibu, water_l, malt_kg, missing_l, water_ibu, malt_ibu, where: toldApart(table, litres, plato), warm };
}

/** Which of water, sugar or wort is missing, as wortline.lot.misses tells them apart. @param {Preboil} table @param {number} litres @param {number} plato */
function toldApart(table, litres, plato) {
  const { spread, planned, means } = table;
  const [off, strong] = [Math.log(litres / planned.preboil_l), Math.log(plato / planned.preboil_plato)];
  const [l, p] = [off / spread.litres, strong / spread.strength];
  const [x, y] = [1 / spread.litres, -1 / spread.strength];
  if (Math.hypot(l, p) <= spread.far) return means["as planned"] ?? "";
  /** @type {[number, string][]} */
  const likely = [[Math.abs(l * y - p * x) / Math.hypot(x, y), "water"], [Math.abs(l), "sugar"], [Math.abs(p), "wort"]];
  likely.sort((a, b) => a[0] - b[0] || (a[1] < b[1] ? -1 : 1));
  const nearest = likely[0]?.[0] ?? 0;
  const less = (/** @type {string} */ name) => (name === "sugar" ? strong < 0 : off < 0);
  const near = likely.filter(([apart]) => apart <= spread.far && apart <= nearest + 1).map(([, name]) => means[`${name} ${less(name) ? "missing" : "too much"}`]);
  return near.length ? near.join(" Or: ") : (means["both"] ?? "");
}

/** The ways of a trouble that the table knows, do-nothing first. @param {Run} run @param {string} trouble @param {Landing} lands @returns {Way[]} */
export function ownWaysOf(run, trouble, lands) {
  const table = run.deck.tables.preboil;
  const wort_l = table.planned.wort_l - lands.missing_l;
  const plain = { fermenter_l: lands.fermenter_l, original_sg: lands.original_sg, ibu: lands.ibu, minutes_min: 0, needs: [], safety: "", trust: "fair" };
  /** @type {Way[]} */
  const ways = [{ ...plain, code: "nothing", text: "Do nothing: it goes on as it is." }];
  const say = (/** @type {number} */ value, /** @type {string} */ kind) => said(value, /** @type {Unit} */ (unitsOf(kind, run.deck)[0]));
  const poured = (/** @type {number} */ litres, /** @type {number | undefined} */ ibu = undefined) => {
    const wait_min = table.reheat_min_l * litres;
    const made = mixed(run, lands, wort_l, litres * KG_L, 0);
    ways.push({ ...plain, ...made, ibu: ibu ?? made.ibu, code: "add-water", minutes_min: wait_min, text: `Add ${say(litres, "volume")} cold water to the kettle before heat-off; it takes a while to boil again.`, needs: [`${say(litres, "volume")} water cold, room under the brim`], safety: HOT_ADD, phase: "boil", change: { ...made.change, wait_min } });
  };
  if (trouble === "gravity-high" && lands.water_l > 0) poured(lands.water_l, lands.water_ibu);
  if (trouble === "volume-short" && lands.missing_l > 0) poured(lands.missing_l);
  if (trouble === "gravity-low" && lands.malt_kg > 0) {
    const kg = lands.malt_kg;
    ways.push({ ...plain, ...mixed(run, lands, wort_l, kg * (1 - table.solids), kg * table.solids), ibu: lands.malt_ibu, code: "add-malt-extract", text: `Stir in ${say(kg, "mass")} dry malt extract before heat-off, element off while it goes in.`, needs: [`${say(kg, "mass")} dry malt extract`], safety: HOT_ADD, phase: "boil" });
  }
  if (trouble === "volume-over" && lands.missing_l < 0) {
    const out_l = -lands.missing_l;
    ways.push({ ...plain, code: "set-aside", fermenter_l: lands.fermenter_l - out_l, text: `Take ${say(out_l, "volume")} (cold litres) out before the fermenter.`, needs: ["a clean pot"], safety: "Wort scalds: through the valve, never with a cup over the rim.", phase: "transfer", change: { out_l } });
  }
  return ways;
}

/** Wort once water and extract are in it, by mass. @param {Run} run @param {Landing} lands @param {number} wort_l @param {number} water_kg @param {number} extract_kg */
function mixed(run, lands, wort_l, water_kg, extract_kg) {
  const { sg, plato } = run.deck.plato;
  const kg = wort_l * lands.original_sg * KG_L;
  const there = (kg * (between(sg, plato, lands.original_sg) ?? 0)) / 100 + extract_kg;
  const after = kg + water_kg + extract_kg;
  const original_sg = between(plato, sg, (100 * there) / after) ?? lands.original_sg;
  const added_l = after / (original_sg * KG_L) - wort_l;
  return { fermenter_l: lands.fermenter_l + added_l, original_sg, ibu: (lands.ibu * wort_l) / (wort_l + added_l), change: { added_l, extract_kg } };
}

/** How far the table may be from the computer's answer. @param {Run} run */
export function boundWords(run) {
  const { within } = run.deck.tables.preboil;
  const litres = said(within.fermenter_l, /** @type {Unit} */ ({ ...unitsOf("volume", run.deck)[0], digits: 2 }));
  return `Worked out on this device from a table: within ${litres}, ${within.original_sg.toFixed(4)} and ${within.ibu.toFixed(1)} IBU of the computer's answer where it lands.`;
}
