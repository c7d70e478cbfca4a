// What the console holds, decoded from the bytes in the page.

const FRONT = 0;
const BACK = 1;
const PLANE_NAMES = ["front", "back"];
const CELL = 8;
const COLUMN = 16;
const ONE = 65536;

/** Colour rewrites of a splits file: line, first entry, colour words. */
function splitsOf(words) {
  const splits = [];
  for (let at = 0; at < words.length;) {
    const [line, first, count] = words.subarray(at, at + 3);
    splits.push({ line, first, words: words.subarray(at + 3, at + 3 + count) });
    at += 3 + count;
  }
  return splits.sort((one, other) => one.line - other.line);
}

/** Four bits a pixel to a byte a pixel; the left pixel is the high nibble. */
function patternsOf(bytes) {
  const pixels = new Uint8Array(bytes.length * 2);
  for (let at = 0; at < bytes.length; at += 1) {
    pixels[2 * at] = bytes[at] >> 4;
    pixels[2 * at + 1] = bytes[at] & 15;
  }
  return pixels;
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
    this.readSpeeds(longsOf(file("machine/speeds.bin")));
    this.readMoods(words);
    this.readPreview(file, words);
    const planes = (texts) => texts.map((text) => planeOfRuns(
      bytesOf(text), this.planeWidth, this.planeHeight, this.width));
    this.owners = planes(data.views.owners);
    this.changes = planes(data.views.changes);
    this.colours = screenColours(about.machine.levels);
  }

  readSpeeds(numbers) {
    this.ratio = new Int32Array(this.lines * 2);
    this.drift = new Int32Array(this.lines * 2);
    for (let line = 0; line < this.lines; line += 1) {
      for (const plane of [FRONT, BACK]) {
        this.ratio[line * 2 + plane] = numbers[line * 4 + plane];
        this.drift[line * 2 + plane] = numbers[line * 4 + 2 + plane];
      }
    }
  }

  readMoods(words) {
    this.moods = new Map(this.about.moods.map((mood) => [mood, {
      palette: words(`machine/moods/${mood}.bin`),
      splits: splitsOf(words(`machine/moods/${mood}.splits.bin`) ?? []),
    }]));
  }

  readPreview(file, words) {
    const { preview } = this.about;
    this.frames = preview.frames;
    this.returns = preview.returns;
    this.step = Math.round(preview.camera_step * ONE);
    this.scroll = words("machine/preview/scroll.bin");
    this.vscroll = words("machine/preview/vscroll.bin");
    this.palettes = words("machine/preview/palette.bin");
    this.table = file("machine/sprites.bin");
    this.tables = file("machine/preview/sprites.bin");
    this.hasSprites = this.table !== null || this.tables !== null;
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

/** Screen colour of a word 0000 BBB0 GGG0 RRR0, as the four bytes of a picture's pixel. */
function screenColours(levels) {
  const colours = new Uint32Array(0x1000);
  for (let word = 0; word < colours.length; word += 1) {
    const [red, green, blue] = [1, 5, 9].map((shift) => levels[word >> shift & 7]);
    colours[word] = (255 << 24 | blue << 16 | green << 8 | red) >>> 0;
  }
  return colours;
}

/** A picture's pixel as "#rrggbb". */
function hexOf(colour) {
  const digits = [0, 8, 16].map((shift) => (colour >> shift & 255).toString(16).padStart(2, "0"));
  return `#${digits.join("")}`;
}
