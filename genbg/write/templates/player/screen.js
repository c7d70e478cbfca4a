// Draws a frame as the hardware does.
//
// A code is a byte a plane pixel: bits 7-6 its rank (0 back low, 1 front low, 2 back high, 3 front
// high), bits 5-0 its colour entry; 0 where it is see-through. The greater code is the one seen.

const RANKS = [[1, 3], [0, 2]];
const HIGH_PLANES = 0x80;

/** A plane's codes, widened; pixels of layers in `hidden` are see-through. */
function planeCodes(machine, plane, hidden) {
  const { columns, rows, planeWidth, stride, maps, patterns } = machine;
  const plain = new Uint8Array(planeWidth * machine.planeHeight);
  for (let cell = 0; cell < columns * rows; cell += 1) {
    const { number, hflip, vflip, row, high } = fieldsOf(maps[plane][cell]);
    const upper = RANKS[plane][high ? 1 : 0] << 6 | row << 4;
    const corner = (cell / columns | 0) * CELL * planeWidth + cell % columns * CELL;
    const flip = (vflip ? 7 * CELL : 0) | (hflip ? 7 : 0);
    for (let at = 0; at < 64; at += 1) {
      const entry = patterns[number * 64 + (at ^ flip)];
      if (entry) plain[corner + (at >> 3) * planeWidth + (at & 7)] = entry | upper;
    }
  }
  const wide = widened(plain, planeWidth, machine.planeHeight, machine.width);
  if (hidden.size) {
    const owners = machine.owners[plane];
    for (let at = 0; at < stride * machine.planeHeight; at += 1) {
      if (hidden.has(owners[at])) wide[at] = 0;
    }
  }
  return wide;
}

class Screen {
  constructor(machine) {
    const pixels = machine.width * machine.lines;
    this.machine = machine;
    this.image = new ImageData(machine.width, machine.lines);
    this.pixels = new Uint32Array(this.image.data.buffer);
    this.seen = [new Uint8Array(pixels), new Uint8Array(pixels)];
    this.code = new Uint8Array(pixels);
    this.sprites = new Uint8Array(pixels);
    this.spriteOwners = new Uint8Array(pixels);
    this.hide(new Set());
  }

  /** Leave out the layers of these numbers. */
  hide(hidden) {
    this.hidden = hidden;
    this.codes = [FRONT, BACK].map((plane) => planeCodes(this.machine, plane, hidden));
  }

  /** Draw a frame; view: camera, height, frame, mood, show (front, back, sprites). */
  draw(view) {
    const { machine } = this;
    const height = ownHeight(machine, view.frame) + view.lift;
    const up = linesUp(machine, height);
    this.height = height;
    this.up = up;
    this.offsets = offsetsAt(machine, view, up);
    this.readColumns(columnsAt(machine, view.frame, up));
    this.zones = this.coloursAt(view);
    for (const plane of [FRONT, BACK]) this.gatherPlane(plane, view);
    this.readSprites(view);
    let zone = -1;
    let table = null;
    const [front, back] = this.seen;
    const { width } = machine;
    for (let line = 0; line < machine.lines; line += 1) {
      while (zone + 1 < this.zones.length && this.zones[zone + 1].line <= line) {
        zone += 1;
        table = this.zones[zone].table;
      }
      for (let at = line * width; at < (line + 1) * width; at += 1) {
        const code = front[at] > back[at] ? front[at] : back[at];
        this.code[at] = code;
        this.pixels[at] = table[code];
      }
      if (this.spritesShown) this.overlaySprites(line, table);
    }
  }

  overlaySprites(line, table) {
    const { width } = this.machine;
    for (let at = line * width; at < (line + 1) * width; at += 1) {
      const sprite = this.sprites[at];
      if (sprite && (sprite >= HIGH_SPRITE || this.code[at] < HIGH_PLANES)) {
        this.pixels[at] = table[sprite & ENTRY_BITS];
      }
    }
  }

  /** Vertical offsets: the same for a whole plane, or for columns of 16 pixels. */
  readColumns(words) {
    this.vertical = words;
    this.down = words ? [words[FRONT], words[BACK]] : [0, 0];
    const shown = Math.ceil(this.machine.width / COLUMN);
    this.swaying = [FRONT, BACK].map((plane) => {
      for (let column = 1; words && column < shown; column += 1) {
        if (words[column * 2 + plane] !== words[plane]) return true;
      }
      return false;
    });
  }

  gatherPlane(plane, view) {
    const { machine } = this;
    const seen = this.seen[plane];
    if (!view.show[PLANE_NAMES[plane]]) {
      seen.fill(0);
      return;
    }
    this.gather(this.codes[plane], plane, seen);
    const { window } = machine.about.machine;
    if (plane === FRONT && window) {
      seen.fill(0, window[0] * machine.width, window[1] * machine.width);
    }
  }

  /** Put what a widened plane of bytes holds at every screen pixel into `out`. */
  gather(source, plane, out) {
    const { lines, width, planeWidth, planeHeight, stride } = this.machine;
    const sways = this.swaying[plane];
    for (let line = 0; line < lines; line += 1) {
      const offset = this.offsets[line * 2 + plane];
      const start = modulo(-offset, planeWidth);
      if (sways) {
        this.gatherColumns(source, plane, line, out);
        continue;
      }
      const at = (line + this.down[plane]) % planeHeight * stride + start;
      out.set(source.subarray(at, at + width), line * width);
    }
  }

  /** A line of columns that are each moved up by their own offset. */
  gatherColumns(source, plane, line, out) {
    const { width, planeWidth, planeHeight, stride } = this.machine;
    const offset = this.offsets[line * 2 + plane];
    const start = modulo(-offset, planeWidth);
    for (let x = offset % COLUMN - COLUMN, column = -1; x < width; x += COLUMN, column += 1) {
      const from = Math.max(x, 0);
      const to = Math.min(x + COLUMN, width);
      if (from >= to) continue;
      const up = this.vertical[Math.max(column, 0) * 2 + plane];
      const at = (line + up) % planeHeight * stride + start + from;
      out.set(source.subarray(at, at + to - from), line * width + from);
    }
  }

  /** The plane's own pixel that stands at a screen pixel. */
  planePoint(plane, x, line) {
    const offset = this.offsets[line * 2 + plane];
    let up = this.down[plane];
    if (this.swaying[plane]) {
      const column = Math.max(0, Math.floor((x - offset % COLUMN) / COLUMN));
      up = this.vertical[column * 2 + plane];
    }
    return {
      x: modulo(x - offset, this.machine.planeWidth),
      y: (line + up) % this.machine.planeHeight,
    };
  }

  readSprites(view) {
    const { machine } = this;
    this.spritesShown = machine.hasSprites && view.show.sprites;
    if (!this.spritesShown) return;
    const list = machine.pieces
      ? spritesAt(machine, view, this.height)
      : spriteList(machine.table, machine.about.machine.sprites_screen);
    const shown = list.filter(({ layer }) => !this.hidden.has(layer));
    drawSprites(machine, shown, this.sprites, this.spriteOwners);
  }

  /** Colour memory down the screen; made anew only where it has changed. */
  coloursAt(view) {
    const mood = this.machine.moods.get(view.mood);
    const changes = changesBy(mood, view.frame);
    if (mood !== this.lastMood || changes !== this.lastChanges) {
      this.zonesMade = zonesOf(this.machine, stateAfter(mood, changes));
      this.lastMood = mood;
      this.lastChanges = changes;
    }
    return this.zonesMade;
  }

  /** The zone of colours in force on a line. */
  zoneAt(line) {
    return this.zones.findLast((zone) => zone.line <= line);
  }
}
