// What the person looks at, apart from the backdrop itself: it outlives a change of the backdrop.

const $ = (id) => document.getElementById(id);

/** An element with attributes and children; `on...` keys are listeners. */
function make(name, attributes = {}, ...children) {
  const svg = ["svg", "path", "rect", "line", "circle", "g", "text", "title"].includes(name);
  const node = svg
    ? document.createElementNS("http://www.w3.org/2000/svg", name) : document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (value !== false && value !== null) node.setAttribute(key, value === true ? "" : value);
  }
  node.append(...children);
  return node;
}

/** A canvas's pen; its pixels are put there anew each time, which needs no graphics card. */
function penOf(canvas) {
  return canvas.getContext("2d", { willReadFrequently: true });
}

function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

const view = {
  frame: 0, // counts time; drift and all that moves by itself follow it
  camera: 0, // 1/65536 pixel
  lift: 0, // 1/65536 pixel that the camera was moved down by hand
  speed: 0, // 1/65536 pixel a frame
  playing: false,
  mood: "",
  show: { front: true, back: true, sprites: true },
  hidden: new Set(), // layer names
  way: "flat", // or "planes" or "layers": pulled apart
  gap: 60,
  turn: -34,
  heat: false,
  pinned: { x: 160, line: 112, byHand: false },
  hover: null, // a mark that follows the pointer, or null
  pattern: 0,
  keepPattern: false,
  scale: 1, // the page's pixels for one of the console
  rail: 30, // width of the rail
  pointed: null, // { layer } or { entry } or { pattern } that the pointer or the focus is on
};

let machine = null;
let screen = null;

/** Parts of the page: load() after a new backdrop, drawn() after each frame, read() less often. */
const parts = [];

const READ_EVERY_MS = 150;
const LONGEST_STEP_MS = 250;
const NEARLY_WHOLE = 0.1;
let wanted = false;
let lastTime = null;
let owed = 0;
let lastRead = -Infinity;

/** The mark that counts at the moment. */
function markNow() {
  return view.hover ?? view.pinned;
}

/** Ask for the picture to be drawn again before the browser shows the next one. */
function redraw() {
  if (wanted) return;
  wanted = true;
  requestAnimationFrame(tick);
}

function tick(now) {
  wanted = false;
  if (machine === null) return;
  if (view.playing) {
    advance(framesDue(now));
    redraw();
  } else {
    lastTime = null;
  }
  drawAll();
  if (!view.playing || now - lastRead >= READ_EVERY_MS) {
    lastRead = now;
    readAll();
  }
}

/**
 * Frames that the console would have drawn since the last picture.
 *
 * Where the browser shows nearly as many pictures a second as the console, or a whole fraction, each
 * takes a whole number of frames, so that 60 pictures of 59.92 frames do not stutter.
 */
function framesDue(now) {
  const passed = lastTime === null ? 0 : Math.min(now - lastTime, LONGEST_STEP_MS);
  lastTime = now;
  let due = passed * (machine.about.machine.fps ?? 60) / 1000;
  const whole = Math.round(due);
  if (whole >= 1 && Math.abs(due - whole) < NEARLY_WHOLE) due = whole;
  owed += due;
  const frames = Math.floor(owed + 1e-9);
  owed -= frames;
  return frames;
}

function advance(frames) {
  view.frame += frames;
  view.camera += frames * view.speed;
}

function drawAll() {
  screen.draw(view);
  for (const part of parts) part.drawn?.();
}

function readAll() {
  for (const part of parts) part.read?.();
}

/** Draw at once, without waiting for the browser. */
function drawNow() {
  drawAll();
  readAll();
}

function setPlaying(playing) {
  view.playing = playing;
  lastTime = null;
  owed = 0;
  redraw();
}

/** Show a frame of the preview: camera and time as they stand there. */
function goToFrame(frame) {
  view.playing = false;
  view.frame = frame;
  view.camera = frame * machine.step;
  view.lift = 0;
}

/** Take another backdrop and keep what is looked at. */
function load(data) {
  const first = machine === null;
  const ownSpeed = first || view.speed === machine.step;
  machine = new Machine(data);
  if (ownSpeed) view.speed = machine.step;
  if (!machine.moods.has(view.mood)) view.mood = machine.about.mood;
  for (const mark of [view.pinned, view.hover]) {
    if (!mark) continue;
    mark.x = Math.min(mark.x, machine.width - 1);
    mark.line = Math.min(mark.line, machine.lines - 1);
  }
  view.pattern = Math.min(view.pattern, machine.patternCount - 1);
  screen = new Screen(machine);
  screen.hide(hiddenNumbers());
  for (const part of parts) part.load?.(first);
  drawNow();
  redraw();
}

/** Numbers of the layers that are hidden. */
function hiddenNumbers() {
  const numbers = machine.about.layers.map((layer, number) => [layer.name, number]);
  return new Set(numbers.filter(([name]) => view.hidden.has(name)).map(([, number]) => number));
}
