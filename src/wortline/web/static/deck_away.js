// Whether somebody was away, or only the clock of the device was set.

import { el, touch } from "./deck_dom.js";
import { interruption } from "./deck_mend.js";

/** @import { LotEvent } from "./deck_types.js" */
/** @import { Run } from "./deck_run.js" */

const AWAY_MIN = 15;
const HOT = ["heat", "mash", "lift", "to_boil", "boil", "whirlpool", "rest"];

/** Whether heat is on or the wort is hot. @param {Run} run */
const isHot = (run) => run.state.phase !== null && HOT.includes(run.state.phase.split(".")[0] ?? "");

/** Asks what happened while nobody saw the deck. @param {Run} run @param {number} away_min */
export function returned(run, away_min) {
  if (isHot(run) && away_min >= AWAY_MIN) interruption(run, away_min);
}

/**
 * The deck stood still: by the clock that nobody can set, or by the wall's alone.
 * @param {Run} run
 * @param {number} steady_min by the clock that nobody can set
 * @param {LotEvent | null} parted what the clocks say of it
 */
export function stoodStill(run, steady_min, parted) {
  if (steady_min >= AWAY_MIN || !parted) return returned(run, steady_min);
  const by_min = parted["by_min"];
  if (parted["because"] === "clock set") {
    return run.tell(`The clock of this device was changed by ${Math.round(by_min)} min. The times of the day go on as they were.`);
  }
  if (isHot(run) && by_min >= AWAY_MIN) whichOfTwo(run, by_min);
}

/** The wall's clock went on alone: asleep, or set. @param {Run} run @param {number} by_min */
function whichOfTwo(run, by_min) {
  const set = async () => {
    // it did not sleep: what was added to its steady clock for that is taken off again
    await run.write([
      { kind: "clock adjusted", by_min: -by_min, because: "device slept" },
      { kind: "clock adjusted", by_min, because: "clock set" },
    ]);
    run.home();
    run.tell("The times of the day go on as they were.");
  };
  run.show({
    key: "which of two",
    build: () => ({
      main: [
        el("h1", {}, "The clock of this device changed."),
        el("p", {}, `It went on by ${Math.round(by_min)} min at once. Either the device was asleep for that time, or somebody set its clock.`),
      ],
      foot: [
        el("div", { class: "row" }, touch("It was asleep", () => interruption(run, by_min), "first"), touch("The clock was set", () => void set(), "first")),
      ],
    }),
  });
}
