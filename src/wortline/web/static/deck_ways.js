// The ways out that this device carries: worked out by the server when the lot began.

import { between, said, unitsOf } from "./deck_numbers.js";
import { boundWords, landing, ownWaysOf } from "./deck_table.js";

/** @import { Way } from "./deck_types.js" */
/** @import { Unit } from "./deck_numbers.js" */
/** @import { Run } from "./deck_run.js" */
/** @typedef {{strike_c?: number, mash_c?: number, wort_c?: number, dose?: string}} Told */
/** @typedef {{lead: string, ways: Way[], bound?: string}} Own */

const OUTSIDE = 0.6;
const LONGER_MIN = 1;
/** @type {Record<string, string>} */
const NAMES = { whirlpool: "The whirlpool", rest: "The rest" };

/**
 * The ways out of a trouble by the tables; null where they say nothing of it.
 * @param {Run} run @param {string} trouble @param {Told} told @returns {Own | null}
 */
export function ownWays(run, trouble, told) {
  const tables = run.deck.tables.ways;
  if (/gravity|volume/.test(trouble)) return beforeTheBoil(run, trouble);
  if (!tables) return null;
  if (trouble === "strike-off" && told.strike_c !== undefined && tables.strike) return warmed(run, "For water", tables.strike.strike_c, tables.strike.rows, told.strike_c);
  if (trouble === "mash-off" && told.mash_c !== undefined) return warmed(run, "For a mash", tables.mash.mash_c, tables.mash.rows, told.mash_c);
  if (trouble === "wort-warm" && told.wort_c !== undefined) return warmed(run, "For wort", tables.warm.wort_c, tables.warm.rows, told.wort_c);
  if (trouble === "clogged") return { lead: "From the plan:", ways: tables.clogged };
  if (trouble === "dose-late" && told.dose !== undefined) return late(run, told.dose);
  return null;
}

/** Where a value is nearest. @param {number[]} each @param {number} to */
const nearest = (each, to) => each.reduce((best, value, place) => (Math.abs(value - to) < Math.abs((each[best] ?? Infinity) - to) ? place : best), 0);

/** @param {Run} run @param {string} words @param {number[]} temps_c @param {Way[][]} rows @param {number} read_c @returns {Own | null} */
function warmed(run, words, temps_c, rows, read_c) {
  const place = nearest(temps_c, read_c);
  const [row_c, ways] = [temps_c[place], rows[place]];
  const outside = read_c < Math.min(...temps_c) - OUTSIDE || read_c > Math.max(...temps_c) + OUTSIDE;
  if (row_c === undefined || !ways || outside) return null;
  const unit = /** @type {Unit} */ (unitsOf("temperature", run.deck)[0]);
  return { lead: `${words} at ${said(row_c, unit)}, from the plan:`, ways };
}

/** @param {Run} run @param {string} dose @returns {Own | null} */
function late(run, dose) {
  const table = run.deck.tables.ways?.late[dose];
  const now = run.now();
  if (!table || now === null) return null;
  const { phases } = run.state;
  const rest = (phases.get("rest") ?? phases.get("chill"))?.begun.min;
  if (rest != null) {
    const place = nearest(table.into_rest_min, now - rest);
    const ways = table.in_rest[place];
    return ways ? { lead: `For going in ${table.into_rest_min[place]?.toFixed(0)} min into the rest, from the plan:`, ways } : null;
  }
  const boil = phases.get("boil")?.begun.min;
  const boil_min = run.deck.phases.find((each) => each.id === "boil")?.planned_min;
  if (boil == null || boil_min == null) return null;
  const place = nearest(table.before_heat_off_min, Math.max(boil_min - (now - boil), 0));
  const ways = table.in_boil[place];
  return ways ? { lead: `For going in ${table.before_heat_off_min[place]?.toFixed(0)} min before heat-off, from the plan:`, ways } : null;
}

/** The first ways from litres and gravity before the boil. @param {Run} run @param {string} trouble @returns {Own | null} */
function beforeTheBoil(run, trouble) {
  const found = landing(run);
  if (!found) return null;
  const warm = "The sample was warm: cool it and read again before you mend anything. ";
  return { lead: `${found.warm ? warm : ""}${lands(run, found)}. ${found.where}`, ways: found.warm ? [] : ownWaysOf(run, trouble, found), bound: boundWords(run) };
}

/** @param {Run} run @param {import("./deck_table.js").Landing} found */
function lands(run, found) {
  const volume = /** @type {Unit} */ (unitsOf("volume", run.deck)[0]);
  return `As read before the boil it lands at ${said(found.fermenter_l, volume)} cold, ${found.original_sg.toFixed(3)}, ${found.ibu.toFixed(0)} IBU`;
}

/** Where the day lands, as far as the tables say. @param {Run} run */
export function ownStanding(run) {
  const landed = landing(run);
  const found = landed ? [`${lands(run, landed)}. ${boundWords(run)}`] : [];
  for (const [phase, table] of Object.entries(run.deck.tables.ways?.longer ?? {})) {
    const span = run.state.phases.get(phase);
    const ends = span?.ended ? span.ended.min : run.now();
    const [planned_min, planned_ibu] = [table.minutes[0], table.ibu[0]];
    if (!span || span.begun.min === null || ends == null || planned_min === undefined || planned_ibu === undefined) continue;
    const lasted = ends - span.begun.min;
    if (lasted < planned_min + LONGER_MIN) continue;
    const ibu = between(table.minutes, table.ibu, lasted);
    const longer = `${NAMES[phase] ?? phase} ${span.ended ? "took" : "takes"} ${lasted.toFixed(0)} min instead of ${planned_min.toFixed(0)}`;
    found.push(ibu === null ? `${longer}: longer than the tables go.` : `${longer}: ${ibu.toFixed(1)} IBU instead of ${planned_ibu.toFixed(1)}, by the plan.`);
  }
  return found;
}
