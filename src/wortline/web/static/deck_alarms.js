// Which alarms are due, which were heard, and which came while nobody could notice.

import { coming } from "./deck_fold.js";

/** @import { Alarm, Deck, State } from "./deck_types.js" */
/** @typedef {Alarm & {key: string, noticedMin: number, missed: boolean}} Due */

const MISSED_MIN = 5 / 60;
const SAME_MIN = 1.5;

export class Alarms {
  /** @param {[string, number][]} heard the alarms that somebody answered, with their minutes */
  constructor(heard) {
    this.heard = heard;
    /** What was noticed, with how late that was. @type {Map<string, {dueMin: number, lateMin: number}>} */
    this.noticed = new Map();
  }

  /** @param {Alarm} alarm */
  static key(alarm) {
    return `${alarm.id}@${Math.round(alarm.dueMin * 60)}`;
  }

  /**
   * @param {Deck} deck
   * @param {State} state
   * @param {number} now
   * @returns {{due: Due[], later: Alarm[]}} those due and those to come, the earliest first
   */
  look(deck, state, now) {
    /** @type {Due[]} */
    const due = [];
    /** @type {Alarm[]} */
    const later = [];
    for (const alarm of coming(deck, state)) {
      if (alarm.dueMin > now) {
        later.push(alarm);
        continue;
      }
      const key = Alarms.key(alarm);
      const held = this.noticed.get(alarm.id);
      // clocks that are tied anew move a minute a little: how late it was noticed stays
      const same = held && Math.abs(held.dueMin - alarm.dueMin) < SAME_MIN;
      const lateMin = same ? held.lateMin : now - alarm.dueMin;
      this.noticed.set(alarm.id, { dueMin: alarm.dueMin, lateMin });
      const noticedMin = alarm.dueMin + lateMin;
      due.push({ ...alarm, key, noticedMin, missed: noticedMin - alarm.dueMin > MISSED_MIN });
    }
    return { due, later };
  }

  /**
   * Those nobody has answered. Clocks that are tied anew move a minute a little: it is still the
   * same alarm; one that was put off comes later than that.
   * @param {Due[]} due
   */
  unheard(due) {
    return due.filter(
      (alarm) => !this.heard.some(([id, min]) => id === alarm.id && Math.abs(min - alarm.dueMin) < SAME_MIN),
    );
  }

  /** @param {Due[]} due */
  hear(due) {
    for (const alarm of this.unheard(due)) this.heard.push([alarm.id, alarm.dueMin]);
    return this.heard;
  }
}
