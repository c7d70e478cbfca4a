// Starts the page, and what a program may ask of it.

const FLASHING = /flash/i;

/** What is said before pictures that may flash; empty where they do not. */
function cautionOf(about) {
  return about.warnings.find((text) => FLASHING.test(text)) ?? "";
}

function showCaution() {
  const text = cautionOf(machine.about);
  $("caution").hidden = text === "";
  setText($("caution"), text && `Caution: this picture may flash. ${text}`);
}

parts.push({ load: showCaution });

function startsPlaying() {
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  return !calm && cautionOf(machine.about) === "";
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
