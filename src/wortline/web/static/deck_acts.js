// Ways out that were taken are acts of the day, as wortline.lot.acts has it: a step each, in its phase.

/** @import { Deck, Fact, LotEvent, State, Step, Way } from "./deck_types.js" */

const ACT = "/way-";

/** The steps with one for every way that was taken. @param {Deck} deck @param {Fact[]} facts @returns {Step[]} */
export function withActs(deck, facts) {
  const steps = deck.steps.filter((step) => !step.id.includes(ACT));
  const phases = new Set(deck.phases.map((phase) => phase.id));
  for (const { entry, event } of facts) {
    if (event.kind !== "deviation" || !event["way"] || !phases.has(event["phase"])) continue;
    steps.splice(placeOf(steps, event["phase"]), 0, {
      id: `${event["phase"]}${ACT}${entry.id}`, phase: event["phase"], text: event["text"], safety: event["safety"] ?? "",
      ask: null, due: null, dose: "", meanwhile: false, needs: [], turns: [], surface: ["", ""], marks: [],
    });
  }
  return steps;
}

/** Before the first step of the phase that has a moment or ends it. @param {Step[]} steps @param {string} phase */
function placeOf(steps, phase) {
  let last = 0;
  for (const [place, step] of steps.entries()) {
    if (step.phase !== phase) continue;
    if (step.due || step.id.endsWith("/end")) return place;
    last = place + 1;
  }
  return last;
}

/** A way that was taken moves what is still to come in its phase. @param {State} state @param {Deck} deck @param {LotEvent} event */
export function lengthen(state, deck, event) {
  const { boil_min = 0, rest_min = 0, wait_min = 0 } = event["change"] ?? {};
  const more = boil_min + rest_min + wait_min;
  const phase = event["phase"] ?? "";
  if (!event["way"] || !more) return;
  state.longer[phase] = (state.longer[phase] ?? 0) + more;
  for (const step of deck.steps) {
    // what was put off to a moment counts the wait already
    const again = state.again.get(step.id);
    if (step.phase === phase && step.due && again !== undefined) state.again.set(step.id, again + boil_min + rest_min);
  }
}

/** The event that a way is taken. @param {Way} way @param {string} trouble @returns {LotEvent} */
export function takenEvent(way, trouble) {
  const change = Object.fromEntries(Object.entries(way.change ?? {}).filter(([, value]) => value !== 0 && value !== "" && value !== false));
  return {
    kind: "deviation", text: way.text, trouble, way: way.code,
    ...(way.phase ? { phase: way.phase } : {}), ...(way.safety ? { safety: way.safety } : {}),
    ...(Object.keys(change).length ? { change } : {}),
  };
}
