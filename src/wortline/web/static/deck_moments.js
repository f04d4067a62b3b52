// The minutes of a lot from steady clocks of several devices, as wortline.lot.clock has them.

/** @import { At, Entry } from "./deck_types.js" */

const MS_MIN = 60_000;

/** @param {Entry} entry */
const clockOf = (entry) => `${entry.device}\n${entry.steady.session}`;

/**
 * What a steady clock lacks at each entry because its device slept before.
 * @param {Entry[]} entries
 * @returns {{at: Map<string, number>, lacking: Map<string, number>}}
 */
function slept(entries) {
  const lacking = new Map();
  const at = new Map();
  const inOrder = [...entries].sort((a, b) =>
    a.device === b.device ? a.sequence - b.sequence : a.device < b.device ? -1 : 1,
  );
  for (const entry of inOrder) {
    const { event } = entry;
    const clock = clockOf(entry);
    if (event.kind === "clock adjusted" && event["because"] === "device slept") {
      lacking.set(clock, (lacking.get(clock) ?? 0) + event["by_min"]);
    }
    at.set(entry.id, lacking.get(clock) ?? 0);
  }
  return { at, lacking };
}

/** @param {Entry[]} entries @param {Map<string, number>} sleptAt */
function ties(entries, sleptAt) {
  /** @type {Map<string, {device: string, server: string, ahead: number}>} */
  const least = new Map();
  for (const entry of entries) {
    if (!entry.server) continue;
    const device = clockOf(entry);
    const server = `\n${entry.server.session}`;
    const ahead = entry.server.min - entry.steady.min - (sleptAt.get(entry.id) ?? 0);
    const key = `${device}\n\n${server}`;
    const known = least.get(key);
    if (!known || ahead < known.ahead) least.set(key, { device, server, ahead });
  }
  /** @type {Map<string, Map<string, number>>} */
  const found = new Map();
  /** @param {string} from @param {string} to @param {number} lead */
  const put = (from, to, lead) => {
    const there = found.get(from) ?? new Map();
    there.set(to, lead);
    found.set(from, there);
  };
  for (const { device, server, ahead } of least.values()) {
    put(device, server, -ahead);
    put(server, device, ahead);
  }
  return found;
}

/** How far a device's wall clock was set up to an entry. @param {Entry[]} entries @param {string} device @param {number} sequence */
function setMin(entries, device, sequence) {
  return entries
    .filter((each) => each.event.kind === "clock adjusted" && each.device === device)
    .filter((each) => (each.event["because"] ?? "clock set") === "clock set")
    .filter((each) => each.sequence <= sequence)
    .reduce((sum, each) => sum + each.event["by_min"], 0);
}

/**
 * What to add to each steady clock to have minutes of the lot.
 * @param {Entry[]} entries
 * @param {Map<string, number>} sleptAt
 * @returns {Map<string, {start: number, trust: string}>}
 */
function starts(entries, sleptAt) {
  const found = new Map();
  const first = entries[0];
  if (!first) return found;
  const lacks = (/** @type {Entry} */ each) => sleptAt.get(each.id) ?? 0;
  found.set(clockOf(first), { start: -first.steady.min - lacks(first), trust: "sure" });
  const tied = ties(entries, sleptAt);
  const waiting = [clockOf(first)];
  for (let here = waiting.shift(); here !== undefined; here = waiting.shift()) {
    const { start } = found.get(here);
    for (const [there, lead] of tied.get(here) ?? []) {
      if (found.has(there)) continue;
      found.set(there, { start: start + lead, trust: "fair" });
      waiting.push(there);
    }
  }
  for (const entry of entries) {
    if (found.has(clockOf(entry))) continue;
    const byWall = (entry.wall_ms - first.wall_ms) / MS_MIN - setMin(entries, entry.device, entry.sequence);
    found.set(clockOf(entry), { start: byWall - entry.steady.min - lacks(entry), trust: "guess" });
  }
  return found;
}

/**
 * When each entry happened, by its id.
 * @param {Entry[]} entries
 * @returns {Map<string, At>}
 */
export function moments(entries) {
  const touched = entries.filter((each) => !each.paper);
  const { at: sleptAt } = slept(touched);
  const begins = starts(touched, sleptAt);
  const found = new Map();
  for (const entry of touched) {
    const { start, trust } = begins.get(clockOf(entry)) ?? { start: 0, trust: "guess" };
    found.set(entry.id, { min: entry.steady.min + (sleptAt.get(entry.id) ?? 0) + start, trust });
  }
  const written = entries.filter((each) => each.paper && each.written_ms).map((each) => each.written_ms ?? 0);
  const run = touched.some((each) => !["started", "note"].includes(each.event.kind));
  const zero = run && touched[0] ? touched[0].wall_ms : Math.min(...written, Infinity);
  for (const entry of entries) {
    if (!entry.paper || found.has(entry.id)) continue;
    const at = entry.written_ms == null
      ? { min: null, trust: "none" }
      : { min: (entry.written_ms - (Number.isFinite(zero) ? zero : 0)) / MS_MIN, trust: "guess" };
    found.set(entry.id, at);
  }
  return found;
}

/**
 * The minute of the lot that it is now on this device, and how it is known.
 * @param {Entry[]} entries
 * @param {string} device
 * @param {{session: string, steadyMin: number}} clock
 * @returns {{min: number, trust: string} | null}
 */
export function nowOf(entries, device, clock) {
  const touched = entries.filter((each) => !each.paper);
  const first = touched[0];
  if (!first) return null;
  const { at, lacking } = slept(touched);
  const own = `${device}\n${clock.session}`;
  const known = starts(touched, at).get(own);
  if (known) {
    return { min: clock.steadyMin + (lacking.get(own) ?? 0) + known.start, trust: known.trust };
  }
  const byWall = (Date.now() - first.wall_ms) / MS_MIN - setMin(touched, device, Infinity);
  return { min: byWall, trust: "guess" };
}
