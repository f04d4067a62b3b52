// Which alarms are due, which were heard, and which came while nobody could notice.

import { coming } from "./deck_fold.js";

/** @import { Alarm, Deck, State } from "./deck_types.js" */
/** @typedef {Alarm & {key: string, noticedMin: number, missed: boolean}} Due */

const MISSED_MIN = 5 / 60;

export class Alarms {
  /** @param {string[]} heard keys of the alarms that somebody answered */
  constructor(heard) {
    this.heard = new Set(heard);
    /** @type {Map<string, number>} */
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
   * @returns {{due: Due[], later: Alarm[]}} the latest first among those due, the next first to come
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
      const noticedMin = this.noticed.get(key) ?? now;
      this.noticed.set(key, noticedMin);
      due.push({ ...alarm, key, noticedMin, missed: noticedMin - alarm.dueMin > MISSED_MIN });
    }
    return { due, later };
  }

  /** @param {Due[]} due */
  unheard(due) {
    return due.filter((alarm) => !this.heard.has(alarm.key));
  }

  /** @param {Due[]} due */
  hear(due) {
    for (const alarm of due) this.heard.add(alarm.key);
    return [...this.heard];
  }
}
