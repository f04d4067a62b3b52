// What every part of the deck is given: the lot, its state, and the means to write and to show.

/** @import { Deck, Entry, LotEvent, State, Step } from "./deck_types.js" */
/** @import { Sync } from "./deck_sync.js" */
/** @import { Wake } from "./deck_wake.js" */

/** @typedef {{main: (Node | string | null | false | undefined)[], foot: Node[]}} Built */
/** @typedef {{key: string, build: () => Built, pressed?: (event: KeyboardEvent) => void}} Panel drawn again when its key changes; `pressed` is given the keys of a keyboard */
/**
 * @typedef {object} Run
 * @property {Deck} deck
 * @property {Sync} sync
 * @property {Entry[]} entries in their order
 * @property {State} state
 * @property {Wake} wake
 * @property {() => number | null} now minutes of the lot
 * @property {(events: LotEvent[]) => Promise<void>} write
 * @property {(step: Step, before?: LotEvent[]) => Promise<void>} finish writes a step as done, and the end of its phase if it was the last
 * @property {(panel: Panel) => void} show
 * @property {() => void} home
 * @property {(text: string) => void} tell
 * @property {(title: string, text: string, yes: string, act: () => void) => void} sure asks twice
 */

export {};
