// The picture pulled apart: each plane or each layer on a sheet of its own, one behind the other.

const SHEET_NAMES = [
  "Back plane", "Front plane", "Sprites", "Back plane, high", "Front plane, high", "Sprites, high",
];
const NAMES_REM = 7.8;
const SMALL_PX = 480;
const EYE_AWAY = 2.7; // pictures that the eye is away
const LOW_SPRITES = 2;
const HIGH_SPRITES = 5;
const SHEET_OF_RANK = [0, 1, 3, 4];
const apart = { sheets: [], key: "" };

/** The sheets that a way of looking asks for, the farthest first: { name, kind, number }. */
function sheetsWanted() {
  if (view.way === "layers") {
    return machine.about.layers.map((layer, number) => ({ name: layer.name, number }));
  }
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
  const nodes = wantedSheets.map(({ name, number }) => {
    const canvas = make("canvas", { width: machine.width, height: machine.lines });
    const image = new ImageData(machine.width, machine.lines);
    const corner = make("i");
    const node = make("div", { class: "sheet" }, canvas, corner);
    apart.sheets.push({
      node, corner, name, number, image,
      pen: penOf(canvas), pixels: new Uint32Array(image.data.buffer),
    });
    return node;
  });
  $("sheets").replaceChildren(make("div", { id: "pile" }, ...nodes));
  turnSheets();
}

/** Set the sheets as far apart and turned as the two sliders say. */
function turnSheets() {
  const pile = $("pile");
  if (!pile) return;
  const many = apart.sheets.length - 1;
  const deep = view.gap / 100 * machine.width * view.scale * 1.15;
  const size = (0.72 - view.gap / 100 * 0.16) * (view.scale * machine.width < SMALL_PX ? 0.92 : 1);
  $("sheets").style.perspective = `${machine.width * view.scale * EYE_AWAY}px`;
  const names = NAMES_REM * remPixels() / (machine.width * view.scale);
  const aside = (view.turn < 0 ? -1 : 1) * (1 + 35 * names);
  pile.style.transform = `translate(${aside.toFixed(1)}%, -3%) scale(${size}) rotateX(-14deg) rotateY(${view.turn}deg)`;
  apart.sheets.forEach(({ node }, at) => {
    const z = many ? (at / many - 0.5) * deep : 0;
    node.style.transform = `translateZ(${z.toFixed(1)}px)`;
  });
  nameSheets();
}

/** Names beside the pile, the nearest sheet's at the bottom, each with a line to its sheet. */
function nameSheets() {
  const box = $("picture").getBoundingClientRect();
  const names = $("sheet-names");
  const onRight = view.turn < 0;
  const step = Math.min(1.4 * remPixels(), (box.height - 20) / apart.sheets.length);
  const room = NAMES_REM * remPixels();
  const x = onRight ? box.width - room : room;
  names.setAttribute("viewBox", `0 0 ${box.width} ${box.height}`);
  names.setAttribute("class", onRight ? "" : "left");
  names.replaceChildren(...apart.sheets.flatMap(({ corner, name }, at) => {
    corner.classList.toggle("left", !onRight);
    const from = corner.getBoundingClientRect();
    const y = box.height - 10 - (apart.sheets.length - 1 - at) * step;
    const start = `M${(from.left - box.left).toFixed(1)} ${(from.top - box.top).toFixed(1)}`;
    return [
      make("path", { d: `${start}L${onRight ? x - 5 : x + 5} ${y - 4}` }),
      make("text", { x, y }, name),
    ];
  }));
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
  const layer = machine.about.layers.findLastIndex(({ plane }) => plane === "sprites");
  eachLine((table, at) => {
    const sprite = screen.sprites[at];
    if (!sprite) return;
    const high = sprite >= HIGH_SPRITE;
    const target = bySheet[byLayer ? layer : high ? HIGH_SPRITES : LOW_SPRITES];
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
  if (!flat) buildSheets();
}
