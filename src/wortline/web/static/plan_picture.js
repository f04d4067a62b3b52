// How wide the picture of the day is drawn; another width is another picture.

const LARGER = 1.12;
const LEAST_PX = 320;
const NEAR_PX = 8;
const FITS_PX = 24;

/** A little narrower than its room, so that its letters are large. @param {HTMLElement} strip */
export function pictureWidth(strip) {
  const room = Math.max(LEAST_PX, strip.clientWidth);
  return Math.round(room < 720 ? room : Math.max(720, room / LARGER));
}

/** What is below never moves up as the next picture comes. @param {HTMLElement} strip */
export function keepRoom(strip) {
  strip.style.minHeight = `${strip.offsetHeight}px`;
}

/** Asks for a picture when its room has changed. @param {HTMLElement} strip @param {() => void} redraw */
export function watchRoom(strip, redraw) {
  let drawnAt = 0;
  new ResizeObserver(() => {
    const room = Math.round(strip.clientWidth);
    // On paper it has no room at all: another picture is printed.
    if (room === 0 || Math.abs(room - drawnAt) < NEAR_PX) return;
    const first = drawnAt === 0;
    drawnAt = room;
    strip.style.minHeight = "";
    if (!first || fitsNot(strip)) redraw();
  }).observe(strip);
}

/** @param {HTMLElement} strip */
function fitsNot(strip) {
  const shown = [...strip.querySelectorAll("svg")].find((each) => each.clientWidth > 0);
  return !shown || Math.abs(shown.viewBox.baseVal.width - pictureWidth(strip)) > FITS_PX;
}
