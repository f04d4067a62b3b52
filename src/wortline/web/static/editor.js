// Checks a document while it is typed, leads from a complaint to its line, and keeps what is not
// yet kept: a draft stays in this browser until the server has taken it.

/** @typedef {{line: number, field: string, text: string, allowed: string, do: string}} Complaint */

const WAIT_MS = 400;

/**
 * @template {Element} T
 * @param {string} id
 * @param {new () => T} kind
 * @returns {T}
 */
function part(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`no ${id} on this page`);
  return found;
}

const form = part("editor", HTMLFormElement);
const text = part("text", HTMLTextAreaElement);
const found = part("found", HTMLElement);
const offer = part("draft", HTMLElement);
const kind = form.dataset["kind"] ?? "";
const place = `draft ${kind} ${form.dataset["document"] ?? "new"}`;
const atFirst = text.value;

/** Puts the cursor on a line and shows it. @param {number} line */
function goTo(line) {
  const lines = text.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
  text.focus();
  text.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
  const high = text.scrollHeight / Math.max(lines.length, 1);
  text.scrollTop = Math.max(0, (line - 4) * high);
}

/**
 * A message as the server shows it: a capital first, a stop last, what was typed set apart.
 * @param {string} said
 * @returns {(string | HTMLElement)[]}
 */
function sentence(said) {
  const ended = /[.?!]$/.test(said) ? said : `${said}.`;
  const pieces = (ended.charAt(0).toUpperCase() + ended.slice(1)).split("`");
  if (pieces.length % 2 === 0) return [pieces.join("`")];
  return pieces.map((piece, place) => {
    if (place % 2 === 0) return piece;
    const code = document.createElement("code");
    code.textContent = piece;
    return code;
  });
}

/** @param {Complaint} complaint */
function shown(complaint) {
  const item = document.createElement("li");
  const words = document.createElement("p");
  if (complaint.line) {
    const way = document.createElement("button");
    way.type = "button";
    way.className = "way";
    way.textContent = `Line ${complaint.line}`;
    way.addEventListener("click", () => goTo(complaint.line));
    words.append(way, complaint.field ? `, ${complaint.field}: ` : ": ");
  }
  words.append(...sentence(complaint.text));
  item.append(words);
  if (complaint.allowed && !complaint.text.includes(complaint.allowed)) {
    const allowed = document.createElement("p");
    allowed.className = "quiet";
    allowed.append(...sentence(`Allowed: ${complaint.allowed}`));
    item.append(allowed);
  }
  return item;
}

/** @param {Complaint[]} complaints */
function show(complaints) {
  const list = document.createElement(complaints.length ? "ol" : "p");
  if (complaints.length) {
    list.className = "problems";
    list.append(...complaints.map(shown));
  } else {
    list.textContent = "None. Everything here can be read.";
  }
  found.classList.remove("stale");
  found.replaceChildren(list);
}

let asked = 0;
/** Asks the server about the text; an answer that comes too late is not shown. */
async function check() {
  const now = ++asked;
  try {
    const answer = await fetch("/api/check", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ kind, text: text.value }),
    });
    if (!answer.ok) throw new Error(String(answer.status));
    const told = await answer.json();
    if (now === asked) show(told.problems);
  } catch {
    if (now !== asked) return;
    // No answer: what stands there is old, and says so.
    found.classList.add("stale");
    if (!found.querySelector(".old")) {
      const old = document.createElement("p");
      old.className = "old";
      old.textContent = "These are old: the server does not answer. Your text is kept here.";
      found.prepend(old);
    }
    setTimeout(() => now === asked && check(), 2000);
  }
}

/** @param {string} key @param {string | null} value */
function remember(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // A browser that keeps nothing; the text is still on the page.
  }
}

/** @param {string} key */
function remembered(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

/** Offers a text that was typed here earlier and never kept. @param {string} draft */
function offerDraft(draft) {
  const words = offer.querySelector("span");
  if (words) words.textContent = "You typed something here earlier that was not kept.";
  offer.hidden = false;
  part("draft-take", HTMLButtonElement).addEventListener("click", () => {
    text.value = draft;
    offer.hidden = true;
    check();
  });
  part("draft-drop", HTMLButtonElement).addEventListener("click", () => {
    remember(place, null);
    offer.hidden = true;
  });
}

const draft = remembered(place);
if (new URLSearchParams(location.search).has("kept")) {
  remember(place, null);
  remember(`draft ${kind} new`, null);
} else if (draft !== null && draft !== atFirst && location.pathname !== "/documents") {
  offerDraft(draft);
}

let waiting = 0;
text.addEventListener("input", () => {
  remember(place, text.value);
  clearTimeout(waiting);
  waiting = setTimeout(check, WAIT_MS);
});
for (const item of found.querySelectorAll("li[data-line]")) {
  const line = Number(item.getAttribute("data-line"));
  item.querySelector(".way")?.addEventListener("click", () => goTo(line));
}
