// Leads from a complaint to its line in the text below it, and carries the why along.

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
  if (carried instanceof HTMLTextAreaElement) carried.value = text.value;
  const line = form.querySelector("input[type=hidden][name=why]");
  if (line instanceof HTMLInputElement && why instanceof HTMLInputElement) line.value = why.value;
});
