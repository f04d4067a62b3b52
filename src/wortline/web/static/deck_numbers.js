// Numbers as typed into core units and back, and the server's tables of corrections.

/** @import { Deck, LotEvent } from "./deck_types.js" */

const GAL_L = 3.785411784;
const LB_KG = 0.45359237;

/** @typedef {{unit: string, to: (typed: number) => number, from: (core: number) => number, digits: number, instrument?: string}} Unit */

/** @param {number} times @param {string} unit @param {number} digits @returns {Unit} */
const scaled = (times, unit, digits) => ({ unit, digits, to: (typed) => typed * times, from: (core) => core / times });

/** Straight between the points of a table; nothing outside it. @param {number[]} xs @param {number[]} ys @param {number} x */
export function between(xs, ys, x) {
  const last = xs.length - 1;
  if (last < 1 || x < (xs[0] ?? 0) || x > (xs[last] ?? 0)) return null;
  let right = xs.findIndex((each) => each >= x);
  if (right <= 0) right = 1;
  const [x0, x1] = [xs[right - 1] ?? 0, xs[right] ?? 0];
  const [y0, y1] = [ys[right - 1] ?? 0, ys[right] ?? 0];
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

/** Straight between the points of a grid, rows first. @param {number[]} rows @param {number[]} columns @param {number[][]} grid @param {number} row @param {number} column */
export function across(rows, columns, grid, row, column) {
  const along = grid.map((each) => between(columns, each, column));
  if (along.some((each) => each === null)) return null;
  return between(rows, /** @type {number[]} */ (along), row);
}

/**
 * The units a reading may be typed in, the lot's own first.
 * @param {string} quantity
 * @param {Deck} deck
 * @returns {Unit[]}
 */
export function unitsOf(quantity, deck) {
  const us = deck.lot.system === "us";
  const { plato, sg } = deck.plato;
  const toSg = (/** @type {number} */ typed) => between(plato, sg, typed) ?? NaN;
  const toPlato = (/** @type {number} */ core) => between(sg, plato, core) ?? NaN;
  const celsius = scaled(1, "C", 1);
  const fahrenheit = { unit: "F", digits: 1, to: (/** @type {number} */ typed) => (typed - 32) / 1.8, from: (/** @type {number} */ core) => core * 1.8 + 32 };
  /** @type {Record<string, Unit[]>} */
  const known = {
    gravity: [
      { unit: "SG", digits: 3, to: (typed) => (typed > 900 && typed < 1200 ? typed / 1000 : typed), from: (core) => core },
      { unit: "degP", digits: 1, to: toSg, from: toPlato },
      { unit: "Bx", digits: 1, to: toSg, from: toPlato, instrument: "refractometer" },
    ],
    volume: us ? [scaled(GAL_L, "US gal", 2), scaled(1, "L", 1)] : [scaled(1, "L", 1), scaled(GAL_L, "US gal", 2)],
    temperature: us ? [fahrenheit, celsius] : [celsius, fahrenheit],
    flow: us ? [scaled(GAL_L, "US gal/min", 2), scaled(1, "L/min", 1)] : [scaled(1, "L/min", 1), scaled(GAL_L, "US gal/min", 2)],
    mass: us ? [scaled(LB_KG / 16, "oz", 2), scaled(LB_KG, "lb", 2), scaled(0.001, "g", 0)] : [scaled(0.001, "g", 0), scaled(1, "kg", 2), scaled(LB_KG / 16, "oz", 2)],
    time: [scaled(1, "min", 0)],
    turning: [scaled(1, "/min", 0)],
    ph: [scaled(1, "", 2)],
  };
  return known[quantity] ?? [scaled(1, "", 2)];
}

/** @type {Record<string, [number, number]>} */
const BOUNDS = {
  gravity: [0.98, 1.2], volume: [0, 500], temperature: [-5, 110], flow: [0, 200], mass: [0, 100], time: [0, 2880], turning: [0, 300], ph: [2, 10],
};

/** What is wrong with a value; empty if it can be. @param {string} quantity @param {number} core @param {Unit} unit */
export function cannotBe(quantity, core, unit) {
  const [low, high] = BOUNDS[quantity] ?? [-Infinity, Infinity];
  if (core >= low && core <= high) return "";
  const said = (/** @type {number} */ each) => `${unit.from(each).toFixed(unit.digits)} ${unit.unit}`.trim();
  return `It can be ${said(low)} to ${said(high)}.`;
}

/** A core value in words. @param {number} core @param {Unit} unit */
export const said = (core, unit) => `${core < 0 && core > -5e-4 ? "0" : unit.from(core).toFixed(unit.digits)} ${unit.unit === "SG" ? "" : unit.unit}`.trim();

/**
 * What a reading counts as, at 20 C: gravity of wort, or cold litres; null where the tables end.
 * @param {Deck} deck
 * @param {LotEvent} read
 * @returns {number | null}
 */
export function countsAs(deck, read) {
  const at = read["sample_c"] ?? 20;
  if (read["quantity"] === "gravity" && read["instrument"] === "refractometer") {
    const brix = between(deck.plato.sg, deck.plato.plato, read["value"]);
    const table = deck.tables.refractometer;
    return brix === null ? null : between(table.brix, table.wort_sg, brix);
  }
  if (read["quantity"] === "gravity") {
    const { reading_sg, sample_c, sg } = deck.tables.hydrometer;
    return across(reading_sg, sample_c, sg, read["value"], at);
  }
  if (read["quantity"] === "volume") {
    const { wort_c, jug, mark } = deck.tables.cold_share;
    const share = between(wort_c, read["instrument"] === "mark" ? mark : jug, at);
    return share === null ? null : share * read["value"];
  }
  return read["value"];
}
