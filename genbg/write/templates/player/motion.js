// Where everything stands: scroll words from speeds, camera and frame, exact at any camera.

const SCROLL_PARTS = 2 ** 42;
const HALF_PARTS = 2 ** 21;

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

/** What waves add to the offsets of every line in a frame, front and back. */
function wavesAt(machine, frame) {
  const sway = new Int16Array(machine.lines * 2);
  for (const wave of machine.waves) {
    const time = Math.floor(modulo(frame, wave.frames) * ONE / wave.frames);
    for (let line = wave.top; line < Math.min(wave.bottom, machine.lines); line += 1) {
      const phase = (time + line * wave.step) % ONE;
      sway[line * 2 + wave.plane] = wave.offsets[phase >> 8];
    }
  }
  return sway;
}

/** Offsets in force on every line, front and back, for a camera in 1/65536 pixel and a frame. */
function offsetsAt(machine, camera, frame) {
  const offsets = new Uint16Array(machine.lines * 2);
  const shared = linesShared(machine);
  const sway = wavesAt(machine, frame);
  const { ratio, drift } = machine;
  for (const plane of [FRONT, BACK]) {
    for (let line = 0, before = -1, still = 0; line < machine.lines; line += 1) {
      const source = (line - line % shared) * 2 + plane;
      if (before < 0 || ratio[source] !== ratio[before] || drift[source] !== drift[before]) {
        still = offsetAt(ratio[source], drift[source], camera, frame);
      }
      offsets[line * 2 + plane] = still - sway[source] & 0x3FF;
      before = source;
    }
  }
  return offsets;
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
