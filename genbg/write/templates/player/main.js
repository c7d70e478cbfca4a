// Starts the page, and what a program may ask of it.

const FLASHES_ALLOWED = 3; // within any one second; WCAG 2.2, success criterion 2.3.1

/** The most flashes within one second, of either kind. */
function flashesOf(about) {
  const { general = 0, red = 0 } = about.facts.flashes ?? {};
  return Math.max(general, red);
}

function mayHarm() {
  return flashesOf(machine.about) > FLASHES_ALLOWED;
}

function showCaution() {
  $("caution").hidden = !mayHarm();
  setText($("caution"), mayHarm()
    ? `Caution: in motion this picture flashes up to ${flashesOf(machine.about)} times within one `
      + `second; ${FLASHES_ALLOWED} are safe for everyone. It stands still until you play it.`
    : "");
}

parts.push({ load: showCaution });

function startsPlaying() {
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  return !calm && !mayHarm();
}

/** A frame of the preview, drawn at once. */
function drawFrame(frame) {
  goToFrame(frame);
  drawNow();
}

/** The picture drawn last: four bytes a pixel, as base64 text. */
function readFrame() {
  const { data } = penOf($("screen")).getImageData(0, 0, machine.width, machine.lines);
  let text = "";
  for (let at = 0; at < data.length; at += 8192) {
    text += String.fromCharCode(...data.subarray(at, at + 8192));
  }
  return btoa(text);
}

window.backdropPage = {
  get machine() {
    return machine;
  },
  view,
  drawFrame,
  drawPicture: drawAll,
  drawNow,
  readFrame,
  load,
  play: () => setPlaying(true),
  pause: () => setPlaying(false),
  get offsets() {
    return screen.offsets;
  },
};

for (const part of parts) part.start?.();
load(JSON.parse($("backdrop").textContent));
if (startsPlaying()) setPlaying(true);
