// The stored patterns: the sheet of all of them, one enlarged, and where it stands.

const LARGE = 8;
const SMALLEST_PX = 14;
const sheet = { across: 16, scale: 1, rows: null };

/** The palette row that most cells and sprites show each pattern with; of as many the lowest. */
function commonRows() {
  const count = new Uint32Array(machine.patternCount * 4);
  for (const words of machine.maps) {
    for (const word of words) count[(word & 0x7FF) * 4 + (word >> 13 & 3)] += 1;
  }
  for (const piece of machine.pieces ?? []) {
    for (let cell = 0; cell < piece.width * piece.height; cell += 1) {
      count[(piece.number + cell) * 4 + piece.row] += 1;
    }
  }
  return Uint8Array.from({ length: machine.patternCount }, (_, number) => {
    const uses = count.subarray(number * 4, number * 4 + 4);
    return uses.indexOf(Math.max(...uses));
  });
}

/** Draw a pattern into pixels that are `stride` wide; see-through pixels stay as they are. */
function drawPattern(pixels, stride, left, top, number, row, table) {
  for (let at = 0; at < 64; at += 1) {
    const entry = machine.patterns[number * 64 + at];
    if (entry) pixels[(top + (at >> 3)) * stride + left + (at & 7)] = table[row << 4 | entry];
  }
}

/** As many patterns in a row as fit, each at least `SMALLEST_PX` wide, in whole pixels. */
function fitSheet() {
  const ratio = window.devicePixelRatio || 1;
  const room = Math.max($("sheet").clientWidth, 8 * SMALLEST_PX) * ratio;
  const whole = Math.ceil(SMALLEST_PX * ratio / CELL);
  sheet.across = Math.max(1, Math.floor(room / (CELL * whole)));
  sheet.scale = whole / ratio;
  drawSheet();
}

function drawSheet() {
  const rows = Math.max(1, Math.ceil(machine.patternCount / sheet.across));
  const canvas = $("sheet-picture");
  canvas.width = sheet.across * CELL;
  canvas.height = rows * CELL;
  for (const { style } of [canvas, $("sheet-marks")]) {
    style.width = `${canvas.width * sheet.scale}px`;
    style.height = `${canvas.height * sheet.scale}px`;
  }
  const image = new ImageData(canvas.width, canvas.height);
  const pixels = new Uint32Array(image.data.buffer);
  const { table } = screen.zones[0];
  for (let number = 0; number < machine.patternCount; number += 1) {
    const left = number % sheet.across * CELL;
    const top = Math.floor(number / sheet.across) * CELL;
    drawPattern(pixels, canvas.width, left, top, number, sheet.rows[number], table);
  }
  penOf(canvas).putImageData(image, 0, 0);
  $("sheet-marks").setAttribute("viewBox", `0 0 ${canvas.width} ${canvas.height}`);
  sheet.table = table;
}

function drawLarge() {
  const canvas = $("pattern-large");
  canvas.width = CELL;
  canvas.height = CELL;
  const image = new ImageData(CELL, CELL);
  const { table } = screen.zoneAt(markNow().line);
  drawPattern(new Uint32Array(image.data.buffer), CELL, 0, 0, view.pattern, sheet.rows[view.pattern], table);
  penOf(canvas).putImageData(image, 0, 0);
}

/** Where a pattern stands: cells of each plane, and sprites. */
function placesText(number) {
  const counts = [BACK, FRONT].map((plane) => {
    const places = machine.maps[plane].filter((word) => (word & 0x7FF) === number).length;
    return places ? `${places} ${places === 1 ? "cell" : "cells"} of the ${PLANE_NAMES[plane]} plane` : "";
  });
  const sprites = (machine.pieces ?? []).filter((piece) => (
    number >= piece.number && number < piece.number + piece.width * piece.height)).length;
  if (sprites) counts.push(sprites === 1 ? "one sprite" : `${sprites} sprites`);
  const said = counts.filter(Boolean).join(" and ");
  return said ? `Stands in ${said}.` : "Stands in no cell.";
}

function patternUnder(event) {
  const box = $("sheet-picture").getBoundingClientRect();
  const column = Math.floor((event.clientX - box.left) / (CELL * sheet.scale));
  const row = Math.floor((event.clientY - box.top) / (CELL * sheet.scale));
  const number = row * sheet.across + Math.min(Math.max(column, 0), sheet.across - 1);
  return number >= 0 && number < machine.patternCount ? number : null;
}

function choosePattern(number, pointed) {
  view.pattern = number;
  point(pointed ? { pattern: number } : null);
}

function listenToSheet() {
  const box = $("sheet");
  const over = (event) => {
    const number = patternUnder(event);
    if (number !== null) choosePattern(number, true);
  };
  box.addEventListener("pointermove", (event) => event.pointerType === "mouse" && over(event));
  box.addEventListener("click", (event) => {
    over(event);
    view.keepPattern = true;
    redraw();
  });
  box.addEventListener("pointerleave", () => point(null));
}

parts.push({
  start() {
    listenToSheet();
    const slider = $("pattern");
    slider.addEventListener("input", () => choosePattern(Number(slider.value), true));
    slider.addEventListener("focus", () => slider.matches(":focus-visible") && choosePattern(view.pattern, true));
    slider.addEventListener("blur", () => point(null));
    $("pattern-keep").addEventListener("change", (event) => {
      view.keepPattern = event.target.checked;
      redraw();
    });
  },
  load() {
    $("pattern").max = machine.patternCount - 1;
    sheet.rows = commonRows();
    sheet.table = null;
  },
  fitted() {
    if (screen.zones) fitSheet();
  },
  read() {
    if (sheet.table !== screen.zones[0].table) fitSheet();
    $("pattern").value = view.pattern;
    $("pattern-keep").checked = view.keepPattern;
    const size = CELL;
    const mark = { x: view.pattern % sheet.across * size, y: Math.floor(view.pattern / sheet.across) * size };
    const marks = $("sheet-marks");
    if (!marks.firstChild) marks.append(make("rect", { class: "under" }), make("rect", { class: "over" }));
    for (const node of marks.children) {
      for (const key of ["x", "y"]) node.setAttribute(key, mark[key]);
      node.setAttribute("width", size);
      node.setAttribute("height", size);
    }
    setText($("pattern-text"), `${view.pattern} of ${machine.patternCount}`);
    setText($("pattern-places"), placesText(view.pattern));
    drawLarge();
  },
});
