// What the console holds, decoded from the bytes in the page.

const FRONT = 0;
const BACK = 1;
const PLANE_NAMES = ["front", "back"];
const CELL = 8;
const COLUMN = 16;
const ONE = 65536;
const WAVE_BYTES = 5 * 2 + 256;
const PIECE_BYTES = 16;
const ENTRIES = 64;
const ENTRY_BITS = 63;
const NO_LAYER = 255;

/** Four bits a pixel to a byte a pixel; the left pixel is the high nibble. */
function patternsOf(bytes) {
  const pixels = new Uint8Array(bytes.length * 2);
  for (let at = 0; at < bytes.length; at += 1) {
    pixels[2 * at] = bytes[at] >> 4;
    pixels[2 * at + 1] = bytes[at] & 15;
  }
  return pixels;
}

/** Waves of a waves file: plane, first line, lines, frames, step, then 256 signed bytes. */
function wavesOf(bytes) {
  const waves = [];
  for (let at = 0; at < bytes.length; at += WAVE_BYTES) {
    const [plane, top, lines, frames, step] = wordsOf(bytes.subarray(at, at + 10));
    const offsets = new Int8Array(bytes.slice(at + 10, at + WAVE_BYTES).buffer);
    waves.push({ plane, top, bottom: top + lines, frames, step, offsets });
  }
  return waves;
}

/** Sprites of a pieces file, 16 bytes each, the nearest first. */
function piecesOf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const pieces = [];
  for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
    pieces.push({
      x: view.getUint16(at),
      y: view.getInt16(at + 2),
      width: (bytes[at + 4] >> 2 & 3) + 1,
      height: (bytes[at + 4] & 3) + 1,
      ...fieldsOf(view.getUint16(at + 6)),
      ratio: view.getInt32(at + 8),
      drift: view.getInt32(at + 12),
    });
  }
  return pieces;
}

class Machine {
  constructor(data) {
    const { about } = data;
    const file = (path) => path in data.bytes ? bytesOf(data.bytes[path]) : null;
    const words = (path) => path in data.bytes ? wordsOf(file(path)) : null;
    this.about = about;
    [this.width, this.lines] = about.machine.screen;
    [this.columns, this.rows] = about.machine.plane_cells;
    this.planeWidth = this.columns * CELL;
    this.planeHeight = this.rows * CELL;
    this.stride = this.planeWidth + this.width;
    this.patterns = patternsOf(file("machine/tiles.bin"));
    this.patternCount = this.patterns.length / 64;
    this.maps = [words("machine/front.map"), words("machine/back.map")];
    this.waves = wavesOf(file("machine/waves.bin") ?? new Uint8Array(0));
    this.readSpeeds(longsOf(file("machine/plane_speeds.bin") ?? file("machine/speeds.bin")));
    this.readMoods(words);
    this.readMotion(file, words);
    const planes = (texts) => texts.map((text) => planeOfRuns(
      bytesOf(text), this.planeWidth, this.planeHeight, this.width));
    this.owners = planes(data.views.owners);
    this.changes = planes(data.views.changes);
    this.changed = this.changes.some((plane) => plane.some((level) => level > 0));
    this.colours = screenColours(about.machine.levels);
  }

  /** Speeds of the screen's lines, or of all lines of planes that move up and down. */
  readSpeeds(numbers) {
    this.moving = numbers.length / 4;
    this.ratio = new Int32Array(this.moving * 2);
    this.drift = new Int32Array(this.moving * 2);
    for (let line = 0; line < this.moving; line += 1) {
      for (const plane of [FRONT, BACK]) {
        this.ratio[line * 2 + plane] = numbers[line * 4 + plane];
        this.drift[line * 2 + plane] = numbers[line * 4 + 2 + plane];
      }
    }
  }

  readMoods(words) {
    this.moods = new Map(this.about.moods.map((mood) => [mood, {
      palette: words(`machine/moods/${mood}.bin`),
      splits: words(`machine/moods/${mood}.splits.bin`) ?? new Uint16Array(0),
      script: scriptOf(words(`machine/moods/${mood}.motion.bin`)),
    }]));
  }

  readMotion(file, words) {
    const { preview, vertical, sprites } = this.about;
    this.frames = preview.frames;
    this.returns = preview.returns;
    this.step = Math.round(preview.camera_step * ONE);
    this.heights = preview.camera_y?.map((pixels) => Math.round(pixels * ONE)) ?? null;
    this.lift = vertical?.ratio.map((ratio) => Math.round(ratio * ONE)) ?? null;
    this.endless = vertical?.endless ?? false;
    const columns = words("machine/columns.bin");
    this.sway = columns && Int16Array.from(columns);
    this.swayFrames = vertical?.column_frames ?? 0;
    const pieces = file("machine/pieces.bin");
    this.pieces = pieces && piecesOf(pieces);
    if (this.pieces) findLayers(this.pieces, this.about.layers);
    this.table = file("machine/sprites.bin");
    this.room = this.about.machine.sprites_screen - (sprites?.reserve ?? 0);
    this.hasSprites = this.pieces !== null || this.table !== null;
  }

  /** The map word under a pixel of a plane. */
  wordAt(plane, x, y) {
    const column = modulo(x, this.planeWidth) >> 3;
    const row = modulo(y, this.planeHeight) >> 3;
    return this.maps[plane][row * this.columns + column];
  }
}

/** A map word's fields. */
function fieldsOf(word) {
  return {
    number: word & 0x7FF,
    hflip: (word & 0x0800) !== 0,
    vflip: (word & 0x1000) !== 0,
    row: word >> 13 & 3,
    high: (word & 0x8000) !== 0,
  };
}
