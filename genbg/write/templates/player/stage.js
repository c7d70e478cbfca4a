// The picture: its size in whole pixels, its pixels, and the pointer on it.

const WIDE_PX = 1000;
const PANELS_PX = 330;
const NARROW_SHARE = 0.5; // of the window's height, where the panels stand under the picture
const TAP_PX = 5;

/** Screen pixels of the window for a pixel of the console: a whole number, at least one. */
function wholeScale() {
  const ratio = window.devicePixelRatio || 1;
  const wide = window.innerWidth >= WIDE_PX;
  const column = $("stage").clientWidth;
  const rail = railWidth(wide);
  const across = wide ? document.body.clientWidth - PANELS_PX - rail - 88 : column - rail;
  const other = $("transport").offsetHeight + $("ways").offsetHeight + 72;
  const down = wide ? window.innerHeight - other : window.innerHeight * NARROW_SHARE;
  const scale = Math.min(across * ratio / machine.width, down * ratio / machine.lines);
  return Math.max(1, Math.floor(scale)) / ratio;
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
  view.scale = wholeScale();
  const { style } = document.documentElement;
  style.setProperty("--screen-width", `${machine.width * view.scale}px`);
  style.setProperty("--screen-height", `${machine.lines * view.scale}px`);
  style.setProperty("--rail-width", `${railWidth(wide)}px`);
  style.setProperty("--pixel", `${view.scale}px`);
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
    if (pull && !pull.far && view.way === "flat") view.pinned = pixelUnder(event);
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
