// The picture: its size in whole pixels, its pixels, and the pointer on it.

const WIDE_PX = 1000;
const SIDES_PX = 64; // margins and the gap between picture and panels
const PANELS_REM = 20;
const CONTROLS_REM = 11; // header, transport and a row of choices
const NARROW_SHARE = 0.5; // of the window's height, where the panels stand under the picture
const TAP_PX = 5;

/** Pixels of the page's text size. */
function remPixels() {
  return parseFloat(getComputedStyle(document.documentElement).fontSize);
}

/** Screen pixels of the window for a pixel of the console: a whole number, at least one. */
function wholeScale(wide) {
  const ratio = window.devicePixelRatio || 1;
  const panels = (PANELS_REM + RAIL.wide) * remPixels() - RAIL.narrow + SIDES_PX;
  const room = wide ? document.body.clientWidth - panels : $("stage").clientWidth;
  const across = room - RAIL.narrow;
  const down = wide
    ? window.innerHeight - CONTROLS_REM * remPixels() : window.innerHeight * NARROW_SHARE;
  const scale = Math.min(across * ratio / machine.width, down * ratio / machine.lines);
  return Math.max(1, Math.floor(scale)) / ratio;
}

/** The rail takes what is left beside the picture, up to its full width. */
function railRoom(wide) {
  const whole = Math.round(RAIL.wide * remPixels());
  const room = wide ? whole : $("stage").clientWidth - machine.width * view.scale;
  return Math.max(RAIL.narrow, Math.min(whole, Math.floor(room)));
}

/** Let the picture begin on a whole pixel of the window, so that its pixels stay even. */
function snap() {
  const { style } = $("easel");
  const ratio = window.devicePixelRatio || 1;
  style.marginTop = "0";
  const top = (document.body.getBoundingClientRect().top - $("easel").getBoundingClientRect().top) * ratio;
  style.marginTop = `${(Math.ceil(-top - 0.001) + top) / ratio}px`;
}

/** Make everything that lies over the picture as large as it. */
function fit() {
  if (machine === null) return;
  const wide = window.innerWidth >= WIDE_PX;
  document.body.classList.toggle("wide", wide);
  view.scale = wholeScale(wide);
  view.rail = railRoom(wide);
  const { style } = document.documentElement;
  style.setProperty("--screen-width", `${machine.width * view.scale}px`);
  style.setProperty("--screen-height", `${machine.lines * view.scale}px`);
  style.setProperty("--rail-width", `${view.rail}px`);
  document.body.classList.toggle("tall", $("stage").offsetHeight > window.innerHeight - 16);
  snap();
  for (const part of parts) part.fitted?.();
  redraw();
}

/** The console's pixel under a pointer. */
function pixelUnder(event) {
  const box = $("screen").getBoundingClientRect();
  const within = (value, end) => Math.min(Math.max(Math.floor(value), 0), end - 1);
  return {
    x: within((event.clientX - box.left) / view.scale, machine.width),
    line: within((event.clientY - box.top) / view.scale, machine.lines),
  };
}

/** Moving over the picture shows a mark, pressing pins it, pulling moves the camera. */
function listenToPointer() {
  const picture = $("picture");
  let pull = null;
  picture.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    pull = { x: event.clientX, y: event.clientY, camera: view.camera, far: false, playing: view.playing };
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener("pointermove", (event) => {
    if (event.pointerType === "mouse" && view.way === "flat") view.hover = pixelUnder(event);
    if (pull) {
      const moved = event.clientX - pull.x;
      pull.far ||= Math.hypot(moved, event.clientY - pull.y) > TAP_PX;
      if (pull.far) {
        view.playing = false;
        view.camera = pull.camera - Math.round(moved / view.scale) * ONE;
      }
    }
    redraw();
  });
  picture.addEventListener("pointerup", (event) => {
    if (pull && !pull.far && view.way === "flat") view.pinned = { ...pixelUnder(event), byHand: true };
    if (pull?.far) setPlaying(pull.playing);
    pull = null;
    redraw();
  });
  const leave = () => {
    pull = null;
    view.hover = null;
    redraw();
  };
  picture.addEventListener("pointercancel", leave);
  picture.addEventListener("pointerleave", leave);
}

parts.push({
  start() {
    listenToPointer();
    new ResizeObserver(fit).observe(document.body);
    window.addEventListener("resize", fit);
  },
  load() {
    for (const id of ["screen", "veil"]) {
      $(id).width = machine.width;
      $(id).height = machine.lines;
    }
    fit();
  },
  drawn() {
    const flat = view.way === "flat";
    penOf($("screen")).putImageData(screen.image, 0, 0);
    $("screen").classList.toggle("away", !flat);
  },
});
