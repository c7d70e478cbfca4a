// Bytes as the page carries them: base64 text, big-endian words, runs of equal bytes.

/** The bytes of a base64 text. */
function bytesOf(text) {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let at = 0; at < raw.length; at += 1) bytes[at] = raw.charCodeAt(at);
  return bytes;
}

/** 16-bit words of big-endian bytes. */
function wordsOf(bytes) {
  const words = new Uint16Array(bytes.length >> 1);
  for (let at = 0; at < words.length; at += 1) words[at] = bytes[2 * at] << 8 | bytes[2 * at + 1];
  return words;
}

/** Signed 32-bit numbers of big-endian bytes. */
function longsOf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const longs = new Int32Array(bytes.length >> 2);
  for (let at = 0; at < longs.length; at += 1) longs[at] = view.getInt32(4 * at);
  return longs;
}

/** A plane of bytes from pairs of value and length less one; `extra` columns are repeated at the right. */
function planeOfRuns(pairs, width, height, extra) {
  const plain = new Uint8Array(width * height);
  for (let at = 0, place = 0; at < pairs.length; at += 2) {
    const end = place + pairs[at + 1] + 1;
    plain.fill(pairs[at], place, end);
    place = end;
  }
  return widened(plain, width, height, extra);
}

/** A plane whose left part is repeated at the right, so that each screen line is one run of bytes. */
function widened(plain, width, height, extra) {
  const stride = width + extra;
  const wide = new Uint8Array(stride * height);
  for (let y = 0; y < height; y += 1) {
    const line = plain.subarray(y * width, (y + 1) * width);
    for (let x = 0; x < stride; x += width) {
      wide.set(line.subarray(0, Math.min(width, stride - x)), y * stride + x);
    }
  }
  return wide;
}

/** A remainder that is never negative. */
function modulo(value, by) {
  return (value % by + by) % by;
}
