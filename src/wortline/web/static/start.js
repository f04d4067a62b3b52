// Right after the start the science is still being loaded: what fades and what is next come later.

const place = document.getElementById("standing");

/** @param {HTMLElement} into @param {string} from */
async function fetchPart(into, from) {
  const answer = await fetch(from);
  if (answer.ok) into.innerHTML = await answer.text();
}

if (place?.dataset["ask"]) {
  fetchPart(place, place.dataset["ask"]).catch(() => {
    // The link that stands there asks again.
  });
}
