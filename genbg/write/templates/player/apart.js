// The picture pulled apart: each plane or each layer on a sheet of its own, one behind the other.

const SHEET_NAMES = [
  "Back plane", "Front plane", "Sprites", "Back plane, high", "Front plane, high", "Sprites, high",
];
const NARROW_PX = 480; // below, names stand under the picture
const NAMES_SHARE = 0.4; // of the picture's width, at most
const EYE_AWAY = 2.7; // pictures that the eye is away
const EDGE_PX = 6;
const LEAST_GAP = 0.25; // between two sheets, where 1 stands for twice as near
const FARTHEST = 64; // distances beyond it all look endless
const LOW_SPRITES = 2;
const HIGH_SPRITES = 5;
const SHEET_OF_RANK = [0, 1, 3, 4];
const apart = { sheets: [], key: "" };

/** How near a layer is, the play field being 1: its mean speed, and a least one for what stands. */
function nearness({ ratio }) {
  return Math.max(Math.abs(ratio[0] + ratio[1]) / 2, 1 / FARTHEST);
}

/** Places of the sheets between 0 and 1: the nearer a sheet to the one behind, the less between. */
function sheetPlaces(sheets) {
  const places = [0];
  for (let at = 1; at < sheets.length; at += 1) {
    const nearer = sheets[at].near ? Math.log2(sheets[at].near / sheets[at - 1].near) : 0;
    places.push(places[at - 1] + LEAST_GAP + Math.max(nearer, 0));
  }
  const whole = places[places.length - 1] || 1;
  return places.map((place) => place / whole);
}

/** The sheets that a way of looking asks for, the farthest first: { name, number, near }. */
function sheetsWanted() {
  if (view.way === "layers") return layersByDepth();
  const has = (plane, high) => machine.maps[plane].some((word) => (word & 0x8000) !== 0 === high);
  const sprites = (high) => machine.hasSprites
    && (machine.pieces?.some((piece) => piece.high === high) ?? true);
  const used = [has(BACK, false), has(FRONT, false), sprites(false),
    has(BACK, true), has(FRONT, true), sprites(true)];
  const wantedSheets = SHEET_NAMES.map((name, number) => ({ name, number }));
  return wantedSheets.filter(({ number }) => used[number]);
}

function buildSheets() {
  const wantedSheets = sheetsWanted();
  apart.sheets = [];
  const nodes = wantedSheets.map(({ name, number, near }) => {
    const canvas = make("canvas", { width: machine.width, height: machine.lines });
    const image = new ImageData(machine.width, machine.lines);
    const corner = make("i");
    const node = make("div", { class: "sheet" }, canvas, corner);
    apart.sheets.push({
      node, corner, name, number, near, image,
      pen: penOf(canvas), pixels: new Uint32Array(image.data.buffer),
    });
    return node;
  });
  $("sheets").replaceChildren(make("div", { id: "pile" }, ...nodes));
  $("sheet-list").replaceChildren(...wantedSheets.map(({ name }) => make("li", {}, name)));
  turnSheets();
}

/** Set the sheets as far apart and turned as the two sliders say. */
function turnSheets() {
  const pile = $("pile");
  if (!pile) return;
  const deep = view.gap / 100 * machine.width * view.scale * 1.15;
  $("sheets").style.perspective = `${machine.width * view.scale * EYE_AWAY}px`;
  pile.style.transform = `rotateX(-14deg) rotateY(${view.turn}deg)`;
  const places = sheetPlaces(apart.sheets);
  apart.sheets.forEach(({ node }, at) => {
    node.style.transform = `translateZ(${((places[at] - 0.5) * deep).toFixed(1)}px)`;
  });
  nameSheets();
}

/** Make the pile as large as the picture has room for beside names that take so many pixels. */
function fitPile(box, room) {
  const { style } = $("sheets");
  style.transform = "none";
  const edges = apart.sheets.map(({ node }) => node.getBoundingClientRect());
  const least = (key) => Math.min(...edges.map((edge) => edge[key]));
  const most = (key) => Math.max(...edges.map((edge) => edge[key]));
  const [left, top, right, bottom] = [least("left"), least("top"), most("right"), most("bottom")];
  const wide = box.width - room - 2 * EDGE_PX;
  const high = box.height - 2 * EDGE_PX;
  const size = Math.min(wide / (right - left), high / (bottom - top));
  const first = view.turn < 0 ? EDGE_PX : EDGE_PX + room;
  const x = first + (wide - size * (right - left)) / 2 - size * (left - box.left);
  const y = EDGE_PX + (high - size * (bottom - top)) / 2 - size * (top - box.top);
  style.transform = `translate(${x.toFixed(2)}px, ${y.toFixed(2)}px) scale(${size.toFixed(4)})`;
}

/** Names beside the pile, the nearest sheet's at the bottom, each with a line to its sheet. */
function nameSheets() {
  const box = $("picture").getBoundingClientRect();
  const names = $("sheet-names");
  const narrow = box.width < NARROW_PX;
  $("sheet-list").hidden = !narrow || view.way === "flat";
  names.replaceChildren();
  if (narrow) {
    fitPile(box, 0);
    return;
  }
  const onRight = view.turn < 0;
  names.setAttribute("viewBox", `0 0 ${box.width} ${box.height}`);
  names.setAttribute("class", onRight ? "" : "left");
  const step = Math.min(1.4 * remPixels(), (box.height - 20) / apart.sheets.length);
  const texts = apart.sheets.map(({ name }, at) => make("text",
    { x: onRight ? box.width - EDGE_PX : EDGE_PX, y: box.height - 10 - (apart.sheets.length - 1 - at) * step }, name));
  names.append(...texts);
  const most = box.width * NAMES_SHARE - 3 * EDGE_PX;
  texts.forEach((text) => shorten(text, most));
  const longest = Math.max(...texts.map((text) => text.getBoundingClientRect().width));
  const room = longest + 3 * EDGE_PX;
  const x = onRight ? box.width - room + 2 * EDGE_PX : room - 2 * EDGE_PX;
  fitPile(box, room);
  texts.forEach((text, at) => {
    text.setAttribute("x", x);
    names.append(leader(apart.sheets[at].corner, box, x + (onRight ? -4 : 4), text.getAttribute("y") - 4));
  });
}

/** Cut a name that is wider than so many pixels, with dots for the rest. */
function shorten(text, most) {
  const whole = text.textContent;
  for (let end = whole.length - 1; end > 0 && text.getBoundingClientRect().width > most; end -= 1) {
    setText(text, `${whole.slice(0, end)}…`);
  }
}

/** A line from a sheet's corner to its name. */
function leader(corner, box, x, y) {
  corner.classList.toggle("left", view.turn >= 0);
  const from = corner.getBoundingClientRect();
  const start = `M${(from.left - box.left).toFixed(1)} ${(from.top - box.top).toFixed(1)}`;
  return make("path", { d: `${start}L${x.toFixed(1)} ${y.toFixed(1)}` });
}

function fillSheets() {
  for (const sheet of apart.sheets) sheet.pixels.fill(0);
  const byLayer = view.way === "layers";
  const bySheet = [];
  for (const sheet of apart.sheets) bySheet[sheet.number] = sheet.pixels;
  for (const plane of [BACK, FRONT]) {
    const codes = screen.seen[plane];
    const owners = apart.scratch;
    if (byLayer) screen.gather(machine.owners[plane], plane, owners);
    eachLine((table, at) => {
      const code = codes[at];
      if (!code) return;
      const target = bySheet[byLayer ? owners[at] : SHEET_OF_RANK[code >> 6]];
      if (target) target[at] = table[code];
    });
  }
  if (screen.spritesShown) fillSpriteSheets(bySheet, byLayer);
  for (const sheet of apart.sheets) sheet.pen.putImageData(sheet.image, 0, 0);
}

function fillSpriteSheets(bySheet, byLayer) {
  eachLine((table, at) => {
    const sprite = screen.sprites[at];
    if (!sprite) return;
    const high = sprite >= HIGH_SPRITE;
    const target = bySheet[byLayer ? screen.spriteOwners[at] : high ? HIGH_SPRITES : LOW_SPRITES];
    if (target) target[at] = table[sprite & ENTRY_BITS];
  });
}

/** Call for every pixel of the screen, with the colours in force there. */
function eachLine(visit) {
  const { width, lines } = machine;
  for (let line = 0; line < lines; line += 1) {
    const { table } = screen.zoneAt(line);
    for (let at = line * width; at < (line + 1) * width; at += 1) visit(table, at);
  }
}

parts.push({
  start() {
    $("gap").addEventListener("input", (event) => {
      view.gap = Number(event.target.value);
      turnSheets();
    });
    $("turn").addEventListener("input", (event) => {
      view.turn = Number(event.target.value);
      turnSheets();
    });
    for (const radio of document.getElementsByName("way")) {
      radio.addEventListener("change", () => {
        view.way = radio.value;
        showWay();
        fit();
      });
    }
  },
  load() {
    apart.scratch = new Uint8Array(machine.width * machine.lines);
    showWay();
  },
  fitted: turnSheets,
  drawn() {
    if (view.way !== "flat") fillSheets();
  },
});

function showWay() {
  const flat = view.way === "flat";
  $("sheets").hidden = flat;
  $("sheet-names").toggleAttribute("hidden", flat);
  $("apart-field").hidden = flat;
  $("sheet-list").hidden = true;
  if (!flat) buildSheets();
}
