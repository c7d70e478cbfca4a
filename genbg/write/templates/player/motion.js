// Where everything stands: scroll words from speeds, camera and frame, exact at any camera.

const SCROLL_PARTS = 2 ** 42;
const HALF_PARTS = 2 ** 21;
const PAIRS = 20;

/** one * other modulo 2^42, exact for whole numbers of either sign below 2^53. */
function multiplied(one, other) {
  const a = modulo(one, SCROLL_PARTS);
  const b = modulo(other, SCROLL_PARTS);
  const aHigh = Math.floor(a / HALF_PARTS);
  const aLow = a % HALF_PARTS;
  const bHigh = Math.floor(b / HALF_PARTS);
  const bLow = b % HALF_PARTS;
  const middle = (aHigh * bLow + aLow * bHigh) % HALF_PARTS;
  return (middle * HALF_PARTS + aLow * bLow) % SCROLL_PARTS;
}

/**
 * A plane's offset on a line: (-floor(ratio * camera + drift * frame)) & 0x3FF.
 *
 * ratio, drift, camera count 1/65536 pixel, so products have 32 bits of fraction, and only the 10
 * bits above them are asked for: all is reckoned modulo 2^42, below what a double holds exactly.
 */
function offsetAt(ratio, drift, camera, frame) {
  const moved = (multiplied(ratio, camera) + multiplied(multiplied(drift, frame), ONE)) % SCROLL_PARTS;
  return -Math.floor(moved / 2 ** 32) & 0x3FF;
}

/** Lines that share one pair of scroll words. */
function linesShared(machine) {
  return { line: 1, strip: 8, plane: machine.lines }[machine.about.machine.scroll];
}

/** Whole pixels of ratio * way, rounded down; exact for ways of up to four million pixels. */
function pixelsMoved(ratio, way) {
  const whole = Math.floor(way / ONE);
  return Math.floor((ratio * whole + Math.floor(ratio * (way - whole * ONE) / ONE)) / ONE);
}

/** What waves add to the offsets of every moving line in a frame, front and back. */
function wavesAt(machine, frame) {
  const sway = new Int16Array(machine.moving * 2);
  for (const wave of machine.waves) {
    const time = Math.floor(modulo(frame, wave.frames) * ONE / wave.frames);
    for (let line = wave.top; line < wave.bottom; line += 1) {
      const phase = (time + line * wave.step) % ONE;
      sway[line * 2 + wave.plane] = wave.offsets[phase >> 8];
    }
  }
  return sway;
}

/** Lines that the front and the back plane have moved up. */
function linesUp(machine, height) {
  return machine.lift ? machine.lift.map((ratio) => pixelsMoved(ratio, height)) : [0, 0];
}

/**
 * Offsets in force on every line, front and back; camera, height in 1/65536 pixel.
 *
 * A line of the screen moves as the line of the plane that it shows, where planes move up and down.
 */
function offsetsAt(machine, { camera, frame }, up) {
  const offsets = new Uint16Array(machine.lines * 2);
  const shared = linesShared(machine);
  const sway = wavesAt(machine, frame);
  const { ratio, drift, moving } = machine;
  for (const plane of [FRONT, BACK]) {
    for (let line = 0, before = -1, still = 0; line < machine.lines; line += 1) {
      const source = modulo(line - line % shared + up[plane], moving) * 2 + plane;
      if (before < 0 || ratio[source] !== ratio[before] || drift[source] !== drift[before]) {
        still = offsetAt(ratio[source], drift[source], camera, frame);
      }
      offsets[line * 2 + plane] = still - sway[source] & 0x3FF;
      before = source;
    }
  }
  return offsets;
}

/** Words of the column-scroll table, 20 pairs of front and back; null where planes never rise. */
function columnsAt(machine, frame, up) {
  if (!machine.lift) return null;
  const words = new Uint16Array(PAIRS * 2);
  const first = machine.sway ? modulo(frame, machine.swayFrames) * PAIRS * 2 : 0;
  for (let at = 0; at < words.length; at += 1) {
    words[at] = up[at & 1] + (machine.sway ? machine.sway[first + at] : 0) & 0x3FF;
  }
  return words;
}

/** Sprites that reach into the screen, the nearest first, as many as the game leaves room for. */
function spritesAt(machine, { camera, frame }, height) {
  const { pieces, planeWidth, planeHeight, width, lines } = machine;
  const found = [];
  for (const piece of pieces) {
    const wide = piece.width * CELL;
    const tall = piece.height * CELL;
    const x = piece.x + offsetAt(piece.ratio, piece.drift, camera, frame);
    let y = piece.y - pixelsMoved(piece.ratio, height);
    if (machine.endless) y = modulo(y + tall, planeHeight) - tall;
    if (y <= -tall || y >= lines) continue;
    for (let at = modulo(x + wide - 1, planeWidth) - wide + 1; at < width; at += planeWidth) {
      found.push({ ...piece, x: at, y });
    }
  }
  return found.slice(0, machine.room);
}

/** How far the camera has moved down by itself at a time, in 1/65536 pixel. */
function ownHeight(machine, time) {
  return machine.heights ? machine.heights[previewFrame(machine, time)] : 0;
}

/** The preview frame that is shown at a time: over and over, or there and back. */
function previewFrame(machine, time) {
  const last = machine.frames - 1;
  if (last === 0) return 0;
  if (!machine.returns) return modulo(time, machine.frames);
  const at = modulo(time, 2 * last);
  return at <= last ? at : 2 * last - at;
}

/** A ratio as people read it: "1/24" where that is what was meant, else a decimal number. */
function ratioText(fixed) {
  const value = fixed / ONE;
  if (value === 0) return "0";
  const below = Math.round(1 / value);
  if (below > 1 && Math.abs(ONE / below - fixed) <= 1) return `1/${below}`;
  return String(Number(value.toPrecision(3)));
}
