// What this device keeps, in its own database: entries in their order, lots, and its name.
// An entry counts as kept here once the transaction has ended, not before.

/** @import { Deck, Entry, Row } from "./deck_types.js" */

const NAME = "wortline-deck";

/** @returns {Promise<IDBDatabase>} */
function opened() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      const made = asked.result;
      made.createObjectStore("entries", { keyPath: "id" }).createIndex("lot", "lot");
      made.createObjectStore("lots", { keyPath: "lot.id" });
      made.createObjectStore("meta", { keyPath: "key" });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

/** An id that nothing else has; plain http has no ready-made one. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((each) => each.toString(16).padStart(2, "0")).join("");
}

export class Store {
  /** @param {IDBDatabase} base @param {string} device */
  constructor(base, device) {
    this.base = base;
    this.device = device;
  }

  static async open() {
    const base = await opened();
    // Asks the browser not to clear this when space is short.
    await navigator.storage?.persist?.().catch(() => false);
    const store = new Store(base, "");
    store.device = await store.named();
    return store;
  }

  /**
   * Runs one transaction and waits until it is on the disk.
   * @template T
   * @param {string[]} names
   * @param {IDBTransactionMode} mode
   * @param {(tx: IDBTransaction, give: (value: T) => void) => void} act
   * @returns {Promise<T>}
   */
  run(names, mode, act) {
    return new Promise((resolve, reject) => {
      const tx = this.base.transaction(names, mode, { durability: "strict" });
      /** @type {T} */
      let given;
      tx.oncomplete = () => resolve(given);
      tx.onerror = tx.onabort = () => reject(tx.error);
      act(tx, (value) => (given = value));
    });
  }

  /** This device's name, made up once. */
  async named() {
    const made = `device-${newId().slice(0, 8)}`;
    /** @type {string} */
    const found = await this.run(["meta"], "readwrite", (tx, give) => {
      const meta = tx.objectStore("meta");
      const asked = meta.get("device");
      asked.onsuccess = () => {
        give(asked.result?.value ?? made);
        if (!asked.result) meta.put({ key: "device", value: made });
      };
    });
    return found;
  }

  /**
   * Keeps new entries, numbered in this device's order, all of them or none.
   * @param {string} lot
   * @param {((sequence: number) => Entry)[]} makers
   * @returns {Promise<Row[]>}
   */
  add(lot, makers) {
    return this.run(["meta", "entries"], "readwrite", (tx, give) => {
      const meta = tx.objectStore("meta");
      const asked = meta.get("sequence");
      asked.onsuccess = () => {
        let sequence = asked.result?.value ?? 0;
        /** @type {Row[]} */
        const rows = makers.map((make) => {
          const entry = make(++sequence);
          return { id: entry.id, lot, state: "waiting", why: "", entry };
        });
        for (const row of rows) tx.objectStore("entries").put(row);
        meta.put({ key: "sequence", value: sequence });
        give(rows);
      };
    });
  }

  /** Every entry of a lot. @param {string} lot @returns {Promise<Row[]>} */
  rows(lot) {
    return this.run(["entries"], "readonly", (tx, give) => {
      const asked = tx.objectStore("entries").index("lot").getAll(lot);
      asked.onsuccess = () => give(asked.result);
    });
  }

  /** Writes down what the server said of entries. @param {Row[]} rows @returns {Promise<void>} */
  put(rows) {
    return this.run(["entries"], "readwrite", (tx) => {
      for (const row of rows) tx.objectStore("entries").put(row);
    });
  }

  /** @param {Deck} deck @returns {Promise<void>} */
  putDeck(deck) {
    return this.run(["lots"], "readwrite", (tx) => void tx.objectStore("lots").put(deck));
  }

  /** The lots this device can run with no server. @returns {Promise<Deck[]>} */
  decks() {
    return this.run(["lots"], "readonly", (tx, give) => {
      const asked = tx.objectStore("lots").getAll();
      asked.onsuccess = () => give(asked.result);
    });
  }

  /** @param {string} key @returns {Promise<any>} */
  meta(key) {
    return this.run(["meta"], "readonly", (tx, give) => {
      const asked = tx.objectStore("meta").get(key);
      asked.onsuccess = () => give(asked.result?.value);
    });
  }

  /** @param {string} key @param {any} value @returns {Promise<void>} */
  putMeta(key, value) {
    return this.run(["meta"], "readwrite", (tx) => void tx.objectStore("meta").put({ key, value }));
  }
}
