// The clocks of this device: one that nobody can set, and the wall's. Where they part, something
// happened: the wall clock was set, or the device slept and its steady clock stood still.

import { newId } from "./deck_store.js";

/** @import { Entry, LotEvent } from "./deck_types.js" */

const MS_MIN = 60_000;
const APART_MS = 2_000;

export class Clock {
  constructor() {
    this.session = `page-${newId().slice(0, 16)}`;
    this.lead_ms = Date.now() - performance.now();
  }

  /** Minutes of the steady clock. */
  get steadyMin() {
    return performance.now() / MS_MIN;
  }

  /**
   * Says whether the clocks have parted since the last look.
   * @param {boolean} awake the screen was held on all the time, so the device cannot have slept
   * @returns {LotEvent | null}
   */
  look(awake) {
    const lead_ms = Date.now() - performance.now();
    const apart_ms = lead_ms - this.lead_ms;
    this.lead_ms = lead_ms;
    if (Math.abs(apart_ms) < APART_MS) return null;
    const because = apart_ms < 0 || awake ? "clock set" : "device slept";
    return { kind: "clock adjusted", by_min: apart_ms / MS_MIN, because };
  }

  /**
   * An entry as of now.
   * @param {string} device
   * @param {LotEvent} event
   * @returns {(sequence: number) => Entry}
   */
  entry(device, event) {
    const made = {
      schema: "lot/1",
      id: newId(),
      device,
      wall_ms: Date.now(),
      zone_min: -new Date().getTimezoneOffset(),
      steady: { session: this.session, min: this.steadyMin },
      event,
    };
    return (sequence) => ({ ...made, sequence });
  }
}
