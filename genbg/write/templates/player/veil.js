// What lies over the picture: everything dimmed but what is pointed at, and the heat of merging.

const VEIL = (178 << 24 | 30 << 16 | 20 << 8 | 18) >>> 0;
const HEAT_LEVELS = 15;
const HEAT_STOPS = [[255, 224, 130], [255, 138, 60], [240, 40, 110], [190, 0, 190]];

/** Colours of the heat levels, 1 hardly seen to 15 plain to see. */
const heatColours = Uint32Array.from({ length: HEAT_LEVELS + 1 }, (_, level) => {
  if (level === 0) return VEIL;
  const place = (level - 1) / (HEAT_LEVELS - 1) * (HEAT_STOPS.length - 1);
  const stop = Math.min(Math.floor(place), HEAT_STOPS.length - 2);
  const [red, green, blue] = HEAT_STOPS[stop].map((value, channel) => (
    Math.round(value + (HEAT_STOPS[stop + 1][channel] - value) * (place - stop))));
  return (255 << 24 | blue << 16 | green << 8 | red) >>> 0;
});

const veil = { image: null, pixels: null, masks: null, key: "", shown: false, scratch: [] };

/** What the veil is to leave bare: { layer }, { entry }, { pattern }, { heat } or null. */
function bared() {
  if (view.way !== "flat") return null;
  if (view.pointed) return view.pointed;
  if (view.keepPattern) return { pattern: view.pattern };
  return view.heat && machine.changed ? { heat: true } : null;
}

/** Widened planes of bytes that are not 0 where something is to be left bare. */
function masksFor(what) {
  const key = JSON.stringify([what, screen.machine.about.manifest_sha256]);
  if (key === veil.key && veil.masksOf === machine) return veil.masks;
  veil.key = key;
  veil.masksOf = machine;
  if ("heat" in what) veil.masks = machine.changes;
  if ("pattern" in what) veil.masks = [FRONT, BACK].map((plane) => patternMask(plane, what.pattern));
  if ("layer" in what) {
    veil.masks = machine.owners.map((owners) => owners.map((owner) => owner === what.layer ? 1 : 0));
  }
  return veil.masks;
}

/** A plane that is 1 in the cells that show a pattern. */
function patternMask(plane, pattern) {
  const plain = new Uint8Array(machine.planeWidth * machine.planeHeight);
  const words = machine.maps[plane];
  for (let cell = 0; cell < words.length; cell += 1) {
    if ((words[cell] & 0x7FF) !== pattern) continue;
    const corner = (cell / machine.columns | 0) * CELL * machine.planeWidth + cell % machine.columns * CELL;
    for (let row = 0; row < CELL; row += 1) {
      const at = corner + row * machine.planeWidth;
      plain.fill(1, at, at + CELL);
    }
  }
  return widened(plain, machine.planeWidth, machine.planeHeight, machine.width);
}

/** Level of a pixel of the picture: 0 veiled, more left bare. */
function fillVeil(what) {
  const { code, sprites, spritesShown } = screen;
  const covered = (at) => spritesShown && sprites[at]
    && (sprites[at] >= HIGH_SPRITE || code[at] < HIGH_PLANES);
  if ("entry" in what) {
    const { backdrop_entry: behind } = machine.about.machine;
    for (let at = 0; at < code.length; at += 1) {
      const entry = covered(at) ? sprites[at] & ENTRY_BITS : code[at] ? code[at] & ENTRY_BITS : behind;
      veil.pixels[at] = entry === what.entry ? 0 : VEIL;
    }
    return;
  }
  const masks = masksFor(what);
  const [front, back] = veil.scratch;
  screen.gather(masks[FRONT], FRONT, front);
  screen.gather(masks[BACK], BACK, back);
  for (let at = 0; at < code.length; at += 1) {
    const ofFront = (code[at] >> 6 & 1) === 1;
    let level = ofFront ? front[at] : code[at] ? back[at] : 0;
    if (what.heat && !ofFront) level = Math.max(front[at], back[at]);
    if (covered(at)) level = 0;
    veil.pixels[at] = what.heat ? heatColours[level] : level ? 0 : VEIL;
  }
}

/** Pixels of a sprite layer are what no plane shows. */
function isSpriteLayer(what) {
  return what && "layer" in what && machine.about.layers[what.layer].plane === "sprites";
}

parts.push({
  load() {
    veil.image = new ImageData(machine.width, machine.lines);
    veil.pixels = new Uint32Array(veil.image.data.buffer);
    veil.scratch = [0, 1].map(() => new Uint8Array(machine.width * machine.lines));
    veil.key = "";
  },
  drawn() {
    const what = bared();
    if (!what && !veil.shown) return;
    const pen = penOf($("veil"));
    veil.shown = what !== null;
    if (!what) {
      pen.clearRect(0, 0, machine.width, machine.lines);
    } else {
      if (isSpriteLayer(what)) fillSpriteVeil(what.layer);
      else fillVeil(what);
      pen.putImageData(veil.image, 0, 0);
    }
  },
});

function fillSpriteVeil(layer) {
  for (let at = 0; at < veil.pixels.length; at += 1) {
    veil.pixels[at] = screen.spritesShown && screen.spriteOwners[at] === layer ? 0 : VEIL;
  }
}
