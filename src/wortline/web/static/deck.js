// The deck: opens the lot this address names from this device or from the server, and runs it.

import { Alarms } from "./deck_alarms.js";
import { returned, stoodStill } from "./deck_away.js";
import { Clock } from "./deck_clock.js";
import { el, face, late, soon, touch, wallClock } from "./deck_dom.js";
import { fold, nextSteps, ordered, phaseHere } from "./deck_fold.js";
import { digits, home, phaseClock } from "./deck_home.js";
import { nowOf } from "./deck_moments.js";
import { Moves } from "./deck_moved.js";
import { otherMenu } from "./deck_other.js";
import { Store } from "./deck_store.js";
import { Sync, ask } from "./deck_sync.js";
import { Wake } from "./deck_wake.js";

/** @import { Deck, LotEvent, Step } from "./deck_types.js" */
/** @import { Built, Panel, Run } from "./deck_run.js" */

const TICK_MS = 250;
const ASK_MS = 2_500;
const ALIVE_MS = 5_000;
const STALE_MS = 2_000;
const LONG_WAIT_MIN = 0.1;
const PRESS_MS = 1_000;
const FRESH_MS = 600;

const root = /** @type {HTMLElement} */ (document.getElementById("deck"));

/** @param {string} title @param {string} text @param {Node[]} more */
function alone(title, text, ...more) {
  root.replaceChildren(el("div", { class: "scroll" }, el("h1", {}, title), el("p", {}, text), ...more));
}

async function start() {
  const store = await Store.open();
  const named = /^\/deck\/(\d+)$/.exec(location.pathname);
  const known = await store.decks();
  if (!named) {
    list(known);
    return;
  }
  const number = Number(named[1]);
  const held = known.filter((each) => each.lot.number === number);
  const asked = ask(`/api/lots/${number}/deck`);
  const deck = held.at(-1) ?? (await fetched(store, asked));
  if (!deck) return;
  const on = await Running.begin(store, deck);
  if (held.length === 0) return;
  // The computer may have another lot of this number: then that one is another deck.
  asked.then(({ ok, told }) => {
    if (!ok) return;
    if (told.lot.id === deck.lot.id) void store.putDeck(told);
    else on.elsewhere(store, told);
  }, () => undefined);
}

/** @param {Store} store @param {ReturnType<typeof ask>} asked @returns {Promise<Deck | null>} */
async function fetched(store, asked) {
  try {
    const { ok, told } = await asked;
    if (ok) {
      await store.putDeck(told);
      return told;
    }
    alone("This lot does not open", told.error?.text ?? "The computer does not have it.");
  } catch {
    alone("The computer does not answer", "This lot was never opened on this device, so it needs the computer once.", touch("Try again", () => location.reload(), "first"));
  }
  return null;
}

/** @param {Deck[]} known */
function list(known) {
  const rows = known.map((each) => el("li", {}, el("a", { class: "touch", href: `/deck/${each.lot.number}` }, el("span", {}, `Lot ${each.lot.number}: ${each.lot.name}`))));
  const all = el("p", {}, el("a", { class: "touch", href: "/lots" }, el("span", {}, "All lots, on the computer")));
  alone("Decks on this device", rows.length ? "These open with no network." : "None yet: open a lot's deck once while the computer answers.", el("ul", { class: "plain" }, ...rows), all);
}

/** @implements {Run} */
class Running {
  /** @param {Store} store @param {Deck} deck @param {[string, number][]} heard */
  constructor(store, deck, heard) {
    this.deck = deck;
    this.store = store;
    this.clock = new Clock();
    this.sync = new Sync(store, deck.lot, () => this.changed(), this.clock);
    this.wake = new Wake(() => this.paint());
    this.alarms = new Alarms(heard);
    this.moves = new Moves();
    /** @type {import("./deck_types.js").Entry[]} */
    this.entries = [];
    this.state = fold(deck, []);
    /** @type {ReturnType<Alarms["look"]>} */
    this.found = { due: [], later: [] };
    /** @type {Panel | null} */
    this.panel = null;
    this.painted = "";
    /** @type {ReturnType<typeof phaseClock>} */
    this.timed = null;
    this.said = "";
    this.saidUntil = 0;
    this.step = "";
    this.shown = "";
    this.alive = 0;
    this.aliveMin = 0;
    this.held = false;
    this.pressedAt = -Infinity;
    this.freshAt = -Infinity;
    this.head = el("header", { class: "head" });
    this.clockPart = el("div", { class: "clock" });
    this.scroll = el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Next and meanwhile" });
    this.foot = el("footer", { class: "foot" });
    this.home = this.home.bind(this);
    this.foot.addEventListener("click", (event) => this.guard(event), true);
  }

  /** A second touch on the spot where the step has just changed was meant for the one before. @param {MouseEvent} event */
  guard(event) {
    if (event.timeStamp - this.freshAt >= FRESH_MS) return;
    event.stopPropagation();
    event.preventDefault();
  }

  /** @param {Store} store @param {Deck} deck */
  static async begin(store, deck) {
    const on = new Running(store, deck, (await store.meta(`heard ${deck.lot.id}`)) ?? []);
    await on.sync.load();
    const first = () => Promise.race([on.sync.turn(), new Promise((go) => setTimeout(go, STALE_MS))]);
    // A device that joins shows nothing old: it asks first how far the day has come.
    if (on.sync.rows.size === 0) await first();
    root.replaceChildren(on.head, on.clockPart, on.scroll, on.foot);
    document.title = `Deck of lot ${deck.lot.number} · Wortline`;
    on.changed();
    const alive = await store.meta(`alive ${deck.lot.id}`);
    document.addEventListener("pointerdown", () => {
      on.pressedAt = performance.now();
      if (!on.wake.touched) void on.wake.touch();
    }, true);
    for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => (on.pressedAt = -Infinity), true);
    document.addEventListener("keydown", (event) => on.panel?.pressed?.(event));
    document.addEventListener("visibilitychange", () => on.tick());
    window.addEventListener("online", () => void on.sync.turn());
    await first();
    if (alive) returned(on, (Date.now() - alive.wall_ms) / 60_000);
    window.setInterval(() => on.tick(), TICK_MS);
    window.setInterval(() => void on.sync.turn().then(() => on.tie()).then(() => on.moved()), ASK_MS);
    return on;
  }

  now() {
    return nowOf(this.entries, this.store.device, this.clock)?.min ?? null;
  }

  changed() {
    this.entries = ordered(this.sync.entries);
    this.state = fold(this.deck, this.entries);
    this.look();
    this.paint();
  }

  /** @param {LotEvent[]} events */
  async write(events) {
    this.step = "";
    this.said = "";
    root.setAttribute("aria-busy", "true");
    try {
      await this.sync.add(events.map((event) => this.clock.entry(this.store.device, event)));
    } catch (error) {
      this.tell(`Not kept: this device's storage refuses (${String(error)}). Write it on paper.`);
      throw error;
    } finally {
      root.removeAttribute("aria-busy");
    }
  }

  /** @param {Step} step @param {LotEvent[]} [before] */
  async finish(step, before = []) {
    const skipped = before.some((event) => event.kind === "skipped");
    const events = skipped ? before : [...before, { kind: "step done", step: step.id }];
    const left = nextSteps(this.deck, this.state).filter((each) => each.id !== step.id);
    if (!step.meanwhile && left.length === 0 && this.state.phase === step.phase) events.push({ kind: "phase ended", phase: step.phase });
    await this.write(events);
  }

  /** @param {Panel} panel */
  show(panel) {
    this.panel = panel;
    this.painted = "";
    this.paint();
    this.scroll.scrollTop = 0;
    // with a keyboard one goes on from here, not from the start of the page
    this.scroll.focus({ preventScroll: true });
  }

  home() {
    if (this.panel) this.scroll.scrollTop = 0;
    this.panel = null;
    this.painted = "";
    this.paint();
  }

  /** @param {string} text */
  tell(text) {
    this.said = text;
    this.saidUntil = performance.now() + 12_000;
    this.painted = "";
    this.paint();
  }

  /** @param {string} title @param {string} text @param {string} yes @param {() => void} act */
  sure(title, text, yes, act) {
    const go = () => {
      this.home();
      act();
    };
    const foot = [el("div", { class: "row" }, touch("No, back", this.home, "first"), touch(yes, go))];
    this.show({ key: `sure ${title}`, build: () => ({ main: [el("h1", {}, title), el("p", {}, text)], foot }) });
  }

  /**
   * What waited long before it was sent ties this device's clock to the computer's badly: then one
   * entry is written that goes at once.
   */
  tie() {
    if (this.sync.server !== "there" || this.sync.waiting.length) return;
    if (!Number.isFinite(this.sync.leastWait) || this.sync.leastWait < LONG_WAIT_MIN) return;
    this.sync.leastWait = 0;
    void this.write([{ kind: "clock adjusted", by_min: 0, because: "device slept" }]);
  }

  /** New numbers for the steps to come, from what was read; this device keeps them. */
  async moved() {
    if (this.sync.server !== "there" || this.sync.waiting.length) return;
    if (!(await this.moves.look(this.deck, this.entries.at(-1)?.number ?? 0))) return;
    await this.store.putDeck(this.deck);
    this.painted = "";
    this.changed();
  }

  tick() {
    const wasHeld = this.held && this.wake.held && document.visibilityState === "visible";
    this.held = this.wake.held;
    const parted = this.clock.look(wasHeld);
    if (parted) void this.write([parted]);
    const wall_ms = Date.now();
    if (wall_ms - this.alive > ALIVE_MS || wall_ms < this.alive) {
      const steady_min = this.clock.steadyMin;
      if (this.alive && document.visibilityState === "visible") stoodStill(this, steady_min - this.aliveMin, parted);
      [this.alive, this.aliveMin] = [wall_ms, steady_min];
      void this.store.putMeta(`alive ${this.deck.lot.id}`, { wall_ms });
    }
    if (this.said && performance.now() > this.saidUntil) this.said = "";
    this.look();
    this.paint();
    this.live();
  }

  /** What is due by now; rings for what nobody has heard yet. */
  look() {
    const now = this.now();
    if (now === null) return;
    this.found = this.alarms.look(this.deck, this.state, now);
    if (this.alarms.unheard(this.found.due).length) this.wake.ring();
    else this.wake.hush();
  }

  heard() {
    const keys = this.alarms.hear(this.found.due);
    void this.store.putMeta(`heard ${this.deck.lot.id}`, keys);
    this.look();
    this.paint();
  }

  /** Draws again what has changed; what is being touched is left alone otherwise. */
  paint() {
    // a key that is drawn anew under the finger would lose its touch
    if (performance.now() - this.pressedAt < PRESS_MS) return;
    const unheard = this.alarms.unheard(this.found.due);
    const head = JSON.stringify([unheard.map((each) => each.key), this.wake.todo, this.sync.server, this.sync.waiting.length, this.sync.refused.length, this.said, this.panel !== null]);
    if (this.head.dataset["drawn"] !== head) {
      this.head.dataset["drawn"] = head;
      this.head.replaceChildren(...this.top(unheard));
    }
    const drawn = this.panel ? this.panel.key : JSON.stringify([this.entries.length, this.entries.at(-1)?.id, [...this.found.due, ...this.found.later].map(Alarms.key), this.found.due.length, this.earlyStep(), this.state.phase === null && this.sync.waiting.length > 0]);
    if (this.painted === drawn) return;
    this.painted = drawn;
    const built = this.panel ? this.panel.build() : home(this, this.found.due, this.found.later);
    this.put(built);
    this.live();
  }

  /** Whether the step asked for is still to come: its touch asks twice until then. */
  earlyStep() {
    const step = nextSteps(this.deck, this.state)[0];
    const alarm = this.found.later.find((each) => each.id === step?.id);
    return alarm ? alarm.dueMin - (this.now() ?? 0) > 2 : false;
  }

  /** @param {Built} built */
  put(built) {
    this.clockPart.hidden = this.panel !== null || this.timed === null;
    const step = this.panel ? "" : `${this.state.phase} ${nextSteps(this.deck, this.state)[0]?.id}`;
    if (step !== this.step) this.scroll.scrollTop = 0;
    this.step = step;
    const held = document.activeElement?.id;
    this.scroll.replaceChildren(...built.main.flatMap((each) => (each ? [each] : [])));
    this.foot.replaceChildren(...built.foot);
    const asks = step && `${step} ${this.foot.textContent}`;
    if (asks && this.shown && asks !== this.shown) this.freshAt = performance.now();
    this.shown = asks || this.shown;
    this.foot.classList.toggle("fresh", performance.now() - this.freshAt < FRESH_MS);
    if (held) document.getElementById(held)?.focus({ preventScroll: true });
    root.classList.toggle("asking", this.panel !== null);
  }

  /** @param {ReturnType<Alarms["unheard"]>} unheard */
  top(unheard) {
    if (unheard.length) return [this.ringing(unheard)];
    const { todo } = this.wake;
    const way = touch(todo ? "Alarms not on" : "Alarms on", () => void this.wake.touch().then(() => this.wake.blip()), todo ? "wake" : "wake on", todo || "Screen held on, sound unlocked.");
    const kept = this.said && this.sync.waiting.length === 0 ? this.said : `${this.said} ${this.kept()}`.trim();
    if (this.panel) return [el("p", { class: "kept", role: "status" }, `${todo ? `Alarms not on: ${todo}` : "Alarms on."} ${kept}`)];
    return [el("div", { class: "row" }, way, touch("Other", () => otherMenu(this))), el("p", { class: "kept", role: "status" }, kept)];
  }

  /** @param {ReturnType<Alarms["unheard"]>} unheard */
  ringing(unheard) {
    const rows = unheard.slice(0, 3).map((alarm) =>
      el("span", { class: "alarm", "data-late-ms": String(Math.round((alarm.noticedMin - alarm.dueMin) * 60_000)) },
        el("b", { class: "when", "data-due": String(alarm.dueMin) }, late((this.now() ?? 0) - alarm.dueMin)),
        alarm.missed && " (missed: this screen was dark, or the deck was shut)", `: ${alarm.text}`));
    const more = unheard.length > 3 && el("span", {}, `and ${unheard.length - 3} more`);
    return el("button", { type: "button", class: "touch ring", onclick: () => this.heard() }, ...rows, more, el("small", {}, "Touch here: heard"));
  }

  /** What is kept where. */
  kept() {
    const many = this.sync.waiting.length;
    const own = many === 1 ? "1 entry is kept here and waits" : `${many} entries are kept here and wait`;
    if (this.sync.refused.length) return `The computer did not take ${this.sync.refused.length}: see Other.`;
    if (this.sync.server === "join") return `${own}. Join again: open /join on this device.`;
    if (this.sync.server === "other") return `${own}. The computer does not know this lot.`;
    if (many) return `${own} for the computer.`;
    return this.sync.server === "there" ? "All kept by the computer." : "No computer. All that was sent is kept.";
  }

  /** What moves with the clock. */
  live() {
    const now = this.now();
    const phase = this.deck.phases.find((each) => each.id === phaseHere(this.deck, this.state));
    this.timed = phase ? phaseClock(this, phase) : null;
    const text = this.timed ? digits(this.timed.min, true) : "";
    const label = this.timed?.label ?? "";
    this.clockPart.hidden = this.panel !== null || this.timed === null;
    if (this.clockPart.dataset["text"] !== text + label) {
      this.clockPart.dataset["text"] = text + label;
      this.clockPart.replaceChildren(face(text, label), el("p", {}, label));
    }
    if (now === null) return;
    for (const place of root.querySelectorAll(".when[data-due]")) {
      const apart = Number(place.getAttribute("data-due")) - now;
      const words = apart > 0 ? `${soon(apart)}, ${wallClock(apart)}:` : late(-apart);
      if (place.textContent !== words) place.textContent = words;
    }
  }

  /** @param {Store} store @param {Deck} told */
  elsewhere(store, told) {
    const open = async () => {
      await store.putDeck(told);
      location.reload();
    };
    this.show({
      key: "elsewhere",
      build: () => ({
        main: [el("h1", {}, `The computer has another lot ${told.lot.number}: ${told.lot.name}.`), el("p", {}, `This device holds ${this.deck.lot.name} with ${this.sync.rows.size} entries; they stay here.`)],
        foot: [touch(`Open ${told.lot.name}`, () => void open()), el("div", { class: "row" }, touch("Stay with mine", this.home, "first"))],
      }),
    });
  }
}

async function worker() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/deck-worker.js", { scope: "/deck" });
  } catch {
    // Without it this page has to stay open; it still keeps every entry.
  }
}

start().catch((/** @type {unknown} */ error) => {
  alone("The deck cannot keep anything here", `This browser gives no storage (${String(error)}). Use another window or browser, or the printed sheet.`);
});
void worker();
