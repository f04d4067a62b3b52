// Sends what waits on this device to the server, in its order, once, and fetches what others wrote.
// What the server does not have yet stays here, whatever happens to the network, tab or browser.

/** @import { Entry, Row } from "./deck_types.js" */
/** @import { Store } from "./deck_store.js" */

const MOST = 100;
const PATIENCE_MS = 8_000;

/** @param {string} path @param {object} [body] */
export async function ask(path, body) {
  const stop = new AbortController();
  const patience = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    const answer = await fetch(path, {
      method: body ? "POST" : "GET",
      headers: body ? { "Content-Type": "application/json" } : {},
      body: body ? JSON.stringify(body) : null,
      signal: stop.signal,
      cache: "no-store",
    });
    const told = await answer.json();
    return { ok: answer.ok, status: answer.status, told };
  } finally {
    clearTimeout(patience);
  }
}

export class Sync {
  /**
   * @param {Store} store
   * @param {{number: number, id: string}} lot
   * @param {() => void} changed
   * @param {{session: string, steadyMin: number}} clock
   */
  constructor(store, lot, changed, clock) {
    this.clock = clock;
    /** The shortest time that an entry of this running waited until it was sent [min]. */
    this.leastWait = Infinity;
    this.store = store;
    this.lot = lot;
    this.changed = changed;
    /** @type {Map<string, Row>} */
    this.rows = new Map();
    /** @type {"asking" | "there" | "away" | "join" | "other"} */
    this.server = "asking";
    this.busy = false;
    this.again = false;
    this.sure = false;
  }

  async load() {
    for (const row of await this.store.rows(this.lot.id)) this.rows.set(row.id, row);
  }

  /** @returns {Entry[]} */
  get entries() {
    return [...this.rows.values()].filter((row) => row.state !== "refused").map((row) => row.entry);
  }

  get waiting() {
    return [...this.rows.values()]
      .filter((row) => row.state === "waiting")
      .sort((a, b) => a.entry.sequence - b.entry.sequence);
  }

  get refused() {
    return [...this.rows.values()].filter((row) => row.state === "refused");
  }

  /** The last number seen of the lot, behind which nothing is missing. */
  get seen() {
    return Math.max(0, ...[...this.rows.values()].map((row) => row.entry.number ?? 0));
  }

  /** @param {((sequence: number) => Entry)[]} makers */
  async add(makers) {
    for (const row of await this.store.add(this.lot.id, makers)) this.rows.set(row.id, row);
    this.changed();
    void this.turn();
  }

  /** One exchange with the server at a time; asked again meanwhile, it goes round once more. */
  async turn() {
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    const before = this.server;
    try {
      do {
        this.again = false;
        await this.exchange();
      } while ((this.again || this.waiting.length > 0) && this.server === "there");
    } catch {
      this.server = "away";
    } finally {
      this.busy = false;
    }
    if (this.server !== before) this.changed();
  }

  async exchange() {
    const sent = this.waiting.slice(0, MOST);
    const path = `/api/lots/${this.lot.number}/entries`;
    const { ok, status, told } = this.sure
      ? await ask(path, { entries: sent.map((row) => row.entry), after: this.seen })
      : await this.makeSure();
    if (!ok) {
      this.server = status === 401 ? "join" : status === 404 ? "other" : "away";
      return;
    }
    this.server = "there";
    if (!told.answers) {
      this.again = true;
      return;
    }
    const waits = sent
      .filter((row) => row.entry.steady.session === this.clock.session)
      .map((row) => this.clock.steadyMin - row.entry.steady.min);
    this.leastWait = Math.min(this.leastWait, ...waits);
    await this.learn(sent, told.answers, told.entries);
  }

  /** Before anything is sent: the server's lot of this number has to be this lot. */
  async makeSure() {
    const found = await ask(`/api/lots/${this.lot.number}/mark`);
    if (found.ok && found.told.id !== this.lot.id) return { ...found, ok: false, status: 404 };
    this.sure = found.ok;
    return found;
  }

  /**
   * @param {Row[]} sent
   * @param {{id: string, what: string, number: number, server_ms: number, why: string}[]} answers
   * @param {Entry[]} entries
   */
  async learn(sent, answers, entries) {
    /** @type {Row[]} */
    const told = [];
    sent.forEach((row, place) => {
      const answer = answers[place];
      if (!answer) return;
      if (answer.what === "refused") told.push({ ...row, state: "refused", why: answer.why });
      else told.push({ ...row, state: "kept", entry: { ...row.entry, number: answer.number, server_ms: answer.server_ms } });
    });
    for (const entry of entries) {
      told.push({ id: entry.id, lot: this.lot.id, state: "kept", why: "", entry });
    }
    if (told.length === 0) return;
    await this.store.put(told);
    for (const row of told) this.rows.set(row.id, row);
    this.changed();
  }
}
