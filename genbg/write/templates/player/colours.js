// The 64 colours in memory on the marked line: which are used on the line, and which in the frame.

const ROW = 16;
const swatches = { cells: [], at: 0 };

/** How many pixels of the lines from first to end - 1 show each entry. */
function countEntries(first, end) {
  const count = new Uint32Array(ENTRIES);
  const { width } = machine;
  for (let at = first * width; at < end * width; at += 1) {
    const code = screen.code[at];
    const sprite = screen.spritesShown ? screen.sprites[at] : 0;
    const onTop = sprite && (sprite >= HIGH_SPRITE || code < HIGH_PLANES);
    count[onTop ? sprite & ENTRY_BITS : code ? code & ENTRY_BITS : machine.about.machine.backdrop_entry] += 1;
  }
  return count;
}

function buildSwatches() {
  const rows = [];
  swatches.cells = [];
  for (let row = 0; row < ENTRIES / ROW; row += 1) {
    const cells = [];
    for (let column = 0; column < ROW; column += 1) {
      const entry = row * ROW + column;
      const cell = make("td", { role: "gridcell", tabindex: entry === swatches.at ? 0 : -1 }, make("i"));
      pointing(cell, () => ({ entry }));
      swatches.cells.push(cell);
      cells.push(cell);
    }
    rows.push(make("tr", { role: "row" }, ...cells));
  }
  const table = make("table", { role: "grid", "aria-labelledby": "colours-name", onkeydown: moveSwatch },
    make("tbody", { role: "presentation" }, ...rows));
  $("colours").replaceChildren(table);
}

/** Arrow keys, Home and End go from colour to colour. */
function moveSwatch(event) {
  const { at } = swatches;
  const to = {
    ArrowLeft: at - 1, ArrowRight: at + 1, ArrowUp: at - ROW, ArrowDown: at + ROW,
    Home: at - at % ROW, End: at - at % ROW + ROW - 1,
  }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  if (to < 0 || to >= ENTRIES) return;
  swatches.cells[at].tabIndex = -1;
  swatches.cells[to].tabIndex = 0;
  swatches.at = to;
  swatches.cells[to].focus();
}

function showSwatches() {
  const { line } = markNow();
  const { words } = screen.zoneAt(line);
  const onLine = countEntries(line, line + 1);
  const inFrame = countEntries(0, machine.lines);
  swatches.cells.forEach((cell, entry) => {
    const hex = hexOf(machine.colours[words[entry]]);
    const use = onLine[entry] ? "line" : inFrame[entry] ? "frame" : "none";
    const said = {
      line: `${onLine[entry]} pixels on this line`, frame: "used elsewhere in this frame", none: "not used",
    }[use];
    const behind = entry === machine.about.machine.backdrop_entry ? ", behind everything" : "";
    if (cell.firstChild.style.backgroundColor !== hex) cell.firstChild.style.backgroundColor = hex;
    cell.className = use;
    const text = `${hex}, ${entryText(entry)}: ${said}${behind}`;
    if (cell.title !== text) {
      cell.title = text;
      cell.setAttribute("aria-label", text);
    }
  });
  const used = (count) => count.reduce((sum, pixels) => sum + (pixels > 0), 0);
  const splits = splitBands().length;
  const more = splits ? ` Colours are rewritten at ${splits} places down the frame.` : "";
  setText($("colours-text"),
    `Full: the ${used(onLine)} on line ${line}. Smaller: ${used(inFrame)} in this frame. Dots: not used.${more}`);
}

parts.push({
  load() {
    buildSwatches();
  },
  read: showSwatches,
});
