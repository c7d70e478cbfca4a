// Colour memory: the words of a mood, what moves them, and the rewrites down the frame.

/** Moving colours of a motion file: frames of a period and { frame, pairs of target and word }. */
function scriptOf(words) {
  if (words === null) return null;
  const changes = [];
  for (let at = 1; at < words.length;) {
    const [frame, count] = words.subarray(at, at + 2);
    changes.push({ frame, pairs: words.subarray(at + 2, at + 2 + 2 * count) });
    at += 2 + 2 * count;
  }
  return { frames: words[0], changes };
}

/** How many changes of a mood's script have come by a frame. */
function changesBy(mood, frame) {
  if (mood.script === null) return 0;
  const at = modulo(frame, mood.script.frames);
  const after = mood.script.changes.findIndex((change) => change.frame > at);
  return after < 0 ? mood.script.changes.length : after;
}

/** The 64 words of colour memory at the top of a frame, then the words of the splits file. */
function stateAfter(mood, changes) {
  const state = new Uint16Array(ENTRIES + mood.splits.length);
  state.set(mood.palette);
  state.set(mood.splits, ENTRIES);
  for (const { pairs } of mood.script?.changes.slice(0, changes) ?? []) {
    for (let at = 0; at < pairs.length; at += 2) state[pairs[at]] = pairs[at + 1];
  }
  return state;
}

/** Colour rewrites of a splits file: line, first entry, colour words; from the top down. */
function splitsOf(words) {
  const splits = [];
  for (let at = 0; at < words.length;) {
    const [line, first, count] = words.subarray(at, at + 3);
    splits.push({ line, first, words: words.subarray(at + 3, at + 3 + count) });
    at += 3 + count;
  }
  return splits.sort((one, other) => one.line - other.line);
}

/** Colour memory down the screen: from which line on, its 64 words, screen colour of each code. */
function zonesOf(machine, state) {
  const zones = [{ line: 0, words: state.slice(0, ENTRIES) }];
  for (const split of splitsOf(state.subarray(ENTRIES))) {
    if (split.line >= machine.lines) break;
    let last = zones[zones.length - 1];
    if (split.line > last.line) {
      last = { line: split.line, words: last.words.slice() };
      zones.push(last);
    }
    last.words.set(split.words, split.first);
  }
  for (const zone of zones) zone.table = colourTable(machine, zone.words);
  return zones;
}

/** Screen colour of each code: its entry's, and the backdrop colour for what is see-through. */
function colourTable(machine, words) {
  const { colours, about } = machine;
  const table = new Uint32Array(256);
  for (let code = 0; code < 256; code += 1) table[code] = colours[words[code & ENTRY_BITS]];
  table[0] = colours[words[about.machine.backdrop_entry]];
  return table;
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
