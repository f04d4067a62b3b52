// The rest's slider: every length is worked out already, so moving it shows the numbers at once.

const now = document.getElementById("now");

/** What the server sent for every length of rest. @returns {{rows: string[][][], marks: string[], rests: number[]} | null} */
function trade() {
  const sent = document.getElementById("trade")?.textContent;
  return sent ? JSON.parse(sent) : null;
}

/** Shows one length of rest. @param {HTMLInputElement} slider */
function show(slider) {
  const sent = trade();
  if (!sent) return;
  const wanted = Number(slider.value);
  let place = 0;
  sent.rests.forEach((each, at) => {
    if (Math.abs(each - wanted) < Math.abs((sent.rests[place] ?? 0) - wanted)) place = at;
  });
  for (const cell of document.querySelectorAll("td[data-row]")) {
    const row = Number(cell.getAttribute("data-row"));
    const way = Number(cell.getAttribute("data-way"));
    cell.textContent = sent.rows[row]?.[way]?.[place] ?? "";
  }
  const out = document.getElementById("rest-now");
  const mark = document.getElementById("rest-mark");
  if (out) out.textContent = `${wanted} min`;
  if (mark) mark.textContent = sent.marks[place] ?? "";
  slider.setAttribute("aria-valuetext", `${wanted} minutes ${sent.marks[place] ?? ""}`.trim());
  const take = document.getElementById("take");
  if (take) take.setAttribute("href", `${take.dataset["take"] ?? ""}&recipe.whirlpool.rest=${wanted}%20min`);
}

now?.addEventListener("input", (event) => {
  if (event.target instanceof HTMLInputElement && event.target.id === "rest") show(event.target);
});
