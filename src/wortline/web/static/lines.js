// Leads from a complaint to its line in the text below it, carries along what was typed, and keeps
// what is changed and not yet kept in this browser.

const text = document.getElementById("text");
const why = document.getElementById("why");

/** @param {HTMLTextAreaElement} into @param {number} line */
function goTo(into, line) {
  into.closest("details")?.setAttribute("open", "");
  const lines = into.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
  into.focus();
  into.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
  into.scrollTop = Math.max(0, ((line - 4) * into.scrollHeight) / Math.max(lines.length, 1));
}

for (const item of document.querySelectorAll("li[data-line]")) {
  const line = Number(item.getAttribute("data-line"));
  item.querySelector(".way")?.addEventListener("click", () => {
    if (text instanceof HTMLTextAreaElement) goTo(text, line);
  });
}

// What was typed by hand goes along with every change.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !(text instanceof HTMLTextAreaElement)) return;
  const carried = form.querySelector("textarea[hidden]");
  if (form.id === "undo") stepBack();
  if (form.id !== "draft" && form.id !== "undo" && carried instanceof HTMLTextAreaElement) carried.value = text.value;
  const line = form.querySelector("input[type=hidden][name=why]");
  if (line instanceof HTMLInputElement && why instanceof HTMLInputElement) line.value = why.value;
});

/** The texts of this page before each change, the oldest first, as this tab remembers them. */
const trail = `trail ${location.pathname}`;
const MOST_STEPS = 30;

/** @returns {string[]} */
function steps() {
  try {
    return JSON.parse(sessionStorage.getItem(trail) ?? "[]");
  } catch {
    return [];
  }
}

/** @param {string[]} texts */
function tread(texts) {
  try {
    sessionStorage.setItem(trail, JSON.stringify(texts.slice(-MOST_STEPS)));
  } catch {
    // A browser that keeps nothing: the server's own step back is left.
  }
}

/** The last step is taken back: it leaves the trail. */
function stepBack() {
  tread(steps().slice(0, -1));
}

/** Puts this page's text on the trail and lets the undo button lead to the one before it. */
function follow() {
  const undo = document.getElementById("undo");
  const into = undo?.querySelector("textarea");
  if (!undo || !into || !(text instanceof HTMLTextAreaElement)) return;
  const changed = document.getElementById("keep")?.dataset["changed"] === "yes";
  const been = changed ? steps() : [];
  if (been.at(-1) !== text.value) been.push(text.value);
  tread(been);
  const before = been.at(-2);
  if (before === undefined) return;
  into.value = before;
  undo.hidden = false;
}
follow();

document.addEventListener("keydown", (event) => {
  const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
  const undo = document.getElementById("undo");
  if (typing || event.key !== "z" || !(event.ctrlKey || event.metaKey) || event.shiftKey) return;
  if (!(undo instanceof HTMLFormElement) || undo.hidden) return;
  event.preventDefault();
  const button = undo.querySelector("button");
  undo.requestSubmit(button);
});

const keep = document.getElementById("keep");
const draft = document.getElementById("draft");
const place = keep?.dataset["place"] ?? "";

/** @param {string | null} value */
function remember(value) {
  try {
    if (value === null) localStorage.removeItem(place);
    else localStorage.setItem(place, value);
  } catch {
    // A browser that keeps nothing; the text is still on the page.
  }
}

/** What was changed here earlier and not kept. @returns {string | null} */
function remembered() {
  try {
    return localStorage.getItem(place);
  } catch {
    return null;
  }
}

if (keep && text instanceof HTMLTextAreaElement) {
  const earlier = remembered();
  if (keep.dataset["changed"] === "yes") {
    remember(text.value);
  } else if (earlier !== null && earlier !== text.value && draft) {
    const carried = draft.querySelector("textarea[hidden]");
    if (carried instanceof HTMLTextAreaElement) carried.value = earlier;
    draft.hidden = false;
    document.getElementById("draft-drop")?.addEventListener("click", () => {
      remember(null);
      draft.hidden = true;
    });
  }
  text.addEventListener("input", () => remember(text.value));
}
