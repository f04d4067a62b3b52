// The shapes that the deck's scripts share, as the server sends them.

/** @typedef {{after: string, edge: string, plus_min: number, since?: string, since_min?: number}} Due */
/** @typedef {{of: string, quantity: string, planned: number | null, low: number | null, high: number | null, hot: boolean, on_sheet: boolean}} Ask */
/**
 * @typedef {object} Step
 * @property {string} id
 * @property {string} phase
 * @property {string} text
 * @property {string} safety
 * @property {Ask | null} ask
 * @property {Due | null} due
 * @property {string} dose
 * @property {boolean} meanwhile
 * @property {string[]} needs
 * @property {[string, string, string][]} turns
 * @property {[string, string]} surface
 * @property {string[]} [marks]
 * @property {string} [was] what it said before what was read moved it
 * @property {{text: string, plus_min: number | null, planned: number | null}} [first] its numbers when the lot began
 */
/** @typedef {{id: string, name: string, words: string, stage: string, planned_min: number | null, start_c: number | null, end_c: number | null}} Phase */
/** @typedef {{handles: Record<string, string>, hose_ends: Record<string, string>, pump: string, water: string, picture: string}} LineUp */
/**
 * @typedef {object} Pipes
 * @property {Record<string, string[]>} handles
 * @property {Record<string, string[]>} hose_ends
 * @property {Record<string, string>} drawn
 * @property {string | null} pump
 * @property {string | null} water
 * @property {Record<string, LineUp>} shown
 * @property {Record<string, string>} pictures
 * @property {Record<string, Record<string, number[]>>} refused
 * @property {string[]} sentences
 */
/** @typedef {{code: string, text: string, fermenter_l: number, original_sg: number, ibu: number, minutes_min: number, needs: string[], safety: string, trust: string, phase?: string, change?: Record<string, any>}} Way */
/**
 * @typedef {object} Preboil where litres and gravity before the boil land, as grids with litres first
 * @property {number[]} preboil_l
 * @property {number[]} preboil_sg
 * @property {number[][]} fermenter_l
 * @property {number[][]} original_sg
 * @property {number[][]} ibu
 * @property {number[][]} water_l
 * @property {number[][]} malt_kg
 * @property {number[][]} missing_l
 * @property {number[][]} water_ibu bitterness with the water in
 * @property {number[][]} malt_ibu
 * @property {{preboil_l: number, preboil_plato: number, wort_l: number}} planned
 * @property {{fermenter_l: number, original_sg: number, ibu: number}} within
 * @property {{litres: number, strength: number, far: number}} spread
 * @property {Record<string, string>} means
 * @property {number} solids
 * @property {number} reheat_min_l
 */
/** @typedef {{wort_c: number[], to_boil_min: number[], ibu_gained: number[], steam_l: number[]}} Cooled */
/** @typedef {{before_heat_off_min: number[], in_boil: Way[][], into_rest_min: number[], in_rest: Way[][]}} Late */
/** @typedef {{minutes: number[], ibu: number[], original_sg: number[], fermenter_l: number[]}} Longer */
/** @typedef {{strike?: {strike_c: number[], rows: Way[][]}, mash: {mash_c: number[], rows: Way[][]}, warm: {wort_c: number[], rows: Way[][]}, clogged: Way[], late: Record<string, Late>, longer: Record<string, Longer>}} WayTables */
/**
 * @typedef {object} Tables
 * @property {{reading_sg: number[], sample_c: number[], sg: number[][], above_c: string}} hydrometer
 * @property {{wort_c: number[], jug: number[], mark: number[]}} cold_share
 * @property {{brix: number[], wort_sg: number[]}} refractometer
 * @property {{off_min: number[], cut_after_boiled_min: number, lid_off: Cooled, lid_on: Cooled}} interruption
 * @property {Preboil} preboil
 * @property {WayTables} [ways] a lot that began before there were any has none
 */
/**
 * @typedef {object} Deck
 * @property {Phase[]} phases
 * @property {Step[]} steps
 * @property {{number: number, id: string, name: string, system: string}} lot
 * @property {Tables} tables
 * @property {{plato: number[], sg: number[]}} plato
 * @property {Pipes | null} pipes
 * @property {boolean} [has_pump] not said, there is one
 * @property {Record<string, number | null>} gravity
 */
/** @typedef {{kind: string, [field: string]: any}} LotEvent */
/** @typedef {{session: string, min: number}} Steady */
/**
 * @typedef {object} Entry
 * @property {string} schema
 * @property {string} id
 * @property {string} device
 * @property {number} sequence
 * @property {number} wall_ms
 * @property {number} zone_min
 * @property {Steady} steady
 * @property {LotEvent} event
 * @property {boolean} [paper]
 * @property {number | null} [written_ms]
 * @property {number} [number]
 * @property {number} [server_ms]
 * @property {Steady | null} [server]
 */
/** @typedef {{id: string, lot: string, state: "waiting" | "kept" | "refused", why: string, entry: Entry}} Row */
/** @typedef {{min: number | null, trust: string}} At */
/** @typedef {{entry: Entry, event: LotEvent, at: At, former: LotEvent[]}} Fact what an entry means now, and what it meant before */
/** @typedef {{begun: At, ended: At | null}} Span */
/**
 * @typedef {object} State
 * @property {Fact[]} facts
 * @property {Map<string, Span>} phases
 * @property {Map<string, string>} steps
 * @property {Map<string, At>} doneAt
 * @property {Map<string, number>} again
 * @property {Map<string, At>} doses
 * @property {{event: LotEvent, at: At}[]} readings
 * @property {Record<string, string>} handles
 * @property {boolean} pumpOn
 * @property {Record<string, string>} surfaces
 * @property {string | null} phase
 * @property {At | null} last
 * @property {Record<string, number>} longer by how much the ways taken lengthen each phase [min]
 */
/** @typedef {{id: string, text: string, dueMin: number}} Alarm */

export {};
