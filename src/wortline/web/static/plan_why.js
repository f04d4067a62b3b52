// Why a number of the plan is what it is: asked of the server, shown over the page.

import { part, sentence } from "./plan_parts.js";
import { ask } from "./plan_server.js";

/**
 * Every number on the plan opens its reason, as the plan stands on the page.
 * @param {HTMLElement} plan
 * @param {() => object} body
 */
export function explain(plan, body) {
  const why = part("why", HTMLDialogElement);
  plan.addEventListener("click", async (event) => {
    const link = event.target instanceof Element ? event.target.closest("a.why-link") : null;
    if (!(link instanceof HTMLAnchorElement) || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const inside = part("why-inside", HTMLElement);
    const heading = document.createElement("h2");
    heading.id = "why-title";
    heading.textContent = "Looking for the reason";
    inside.replaceChildren(heading);
    why.showModal();
    try {
      const answer = await ask("/api/plan/why", { ...body(), key: link.dataset["why"] });
      if (answer.status === 200) inside.innerHTML = answer.told.html;
      else heading.textContent = sentence(answer.told.error?.text ?? "There is no reason for it");
    } catch {
      heading.textContent = "The server does not answer. Close this and try again.";
    }
  });
}
