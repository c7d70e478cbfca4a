// Sprites: read along their links, and dropped on the lines where the machine would drop them.

const HIGH_SPRITE = 0x80;

/** A sprite table entry of 8 bytes. */
function spriteAt(table, number) {
  const at = number * 8;
  const word = (place) => table[at + place] << 8 | table[at + place + 1];
  return {
    y: word(0) - 128,
    width: (table[at + 2] >> 2 & 3) + 1,
    height: (table[at + 2] & 3) + 1,
    link: table[at + 3],
    x: word(6) - 128,
    ...fieldsOf(word(4)),
  };
}

/** The sprites of a table in the order of their links, at most as many as a screen has. */
function spriteList(table, most) {
  const list = [];
  for (let number = 0; list.length < most && table.length >= number * 8 + 8;) {
    const sprite = spriteAt(table, number);
    list.push(sprite);
    if (sprite.link === 0) break;
    number = sprite.link;
  }
  return list;
}

/**
 * Put into each sprite the number of the layer that it was cut from.
 *
 * Sprites come layer after layer, the nearest first. One is of the next layer on that has its
 * priority, its speed and its line.
 */
function findLayers(pieces, layers) {
  const left = layers.map((layer, number) => ({ ...layer, number }))
    .filter(({ plane }) => plane === "sprites").reverse();
  const near = (one, other) => Math.abs(one - other) <= 1e-4 * Math.max(1, Math.abs(other));
  const holds = (layer, piece) => layer.high === piece.high
    && near(piece.ratio / ONE, layer.ratio[0]) && near(piece.drift / ONE, layer.drift[0])
    && piece.y >= layer.lines[0] && piece.y < layer.lines[1];
  for (const piece of pieces) {
    piece.layer = (left.find((layer) => holds(layer, piece)) ?? left[0])?.number ?? NO_LAYER;
  }
}

/** Draw sprites, the nearest first, into `out`, a byte a screen pixel: colour entry, and the top bit where it is high. */
function drawSprites(machine, sprites, out, owners) {
  const limits = machine.about.machine;
  const { lines } = machine;
  const count = new Uint8Array(lines);
  const drawn = new Uint16Array(lines);
  out.fill(0);
  owners.fill(NO_LAYER);
  for (const sprite of sprites) {
    const bottom = Math.min(sprite.y + sprite.height * CELL, lines);
    for (let line = Math.max(sprite.y, 0); line < bottom; line += 1) {
      count[line] += 1;
      if (sprite.x === -128) count[line] = limits.sprites_line + 1;
      if (count[line] > limits.sprites_line) {
        count[line] = limits.sprites_line + 1;
        continue;
      }
      const across = sprite.width * CELL;
      const room = Math.min(limits.sprite_pixels_line - drawn[line], across);
      drawn[line] += across;
      if (room > 0) drawSpriteLine(machine, sprite, line, room, out, owners);
    }
  }
}

/** One line of a sprite, its first `room` pixels; what lies in front of it stays. */
function drawSpriteLine(machine, sprite, line, room, out, owners) {
  const { width, patterns, patternCount } = machine;
  const tall = sprite.height * CELL;
  const wide = sprite.width * CELL;
  const down = sprite.vflip ? tall - 1 - (line - sprite.y) : line - sprite.y;
  const upper = sprite.row << 4 | (sprite.high ? HIGH_SPRITE : 0);
  for (let step = 0; step < room; step += 1) {
    const x = sprite.x + step;
    const across = sprite.hflip ? wide - 1 - step : step;
    const number = sprite.number + (across >> 3) * sprite.height + (down >> 3);
    if (x < 0 || x >= width || number >= patternCount || out[line * width + x]) continue;
    const entry = patterns[number * 64 + (down & 7) * CELL + (across & 7)];
    if (!entry) continue;
    out[line * width + x] = entry | upper;
    owners[line * width + x] = sprite.layer ?? NO_LAYER;
  }
}
