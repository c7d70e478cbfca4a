// The mark on the picture: what stands there, how its line moves, which colours are in memory.

/** What is seen at a pixel: plane (null: backdrop colour or sprite), entry, cell, map word. */
function seenAt(mark) {
  const at = mark.line * machine.width + mark.x;
  const code = screen.code[at];
  const sprite = screen.spritesShown ? screen.sprites[at] : 0;
  if (sprite && (sprite >= HIGH_SPRITE || code < HIGH_PLANES)) {
    return { plane: null, sprite: true, entry: sprite & ENTRY_BITS };
  }
  if (!code) return { plane: null, sprite: false, entry: machine.about.machine.backdrop_entry };
  const plane = code >> 6 & 1 ? FRONT : BACK;
  const place = screen.planePoint(plane, mark.x, mark.line);
  const word = machine.wordAt(plane, place.x, place.y);
  const owner = machine.owners[plane][place.y * machine.stride + place.x];
  return { plane, sprite: false, entry: code & ENTRY_BITS, place, owner, ...fieldsOf(word) };
}

function entryText(entry) {
  return `row ${entry >> 4}, entry ${entry & 15}`;
}

function inWindow(line) {
  const { window } = machine.about.machine;
  return window !== null && line >= window[0] && line < window[1];
}

function markWords(mark, seen) {
  const says = seenWords(mark, seen);
  return inWindow(mark.line) ? `${says} The window takes the front plane's place here.` : says;
}

function seenWords(mark, seen) {
  const { words } = screen.zoneAt(mark.line);
  const colour = `${hexOf(machine.colours[words[seen.entry]])} (${entryText(seen.entry)})`;
  if (seen.sprite) return `A sprite, colour ${colour}.`;
  if (seen.plane === null) return `Nothing of either plane; the backdrop colour ${colour}.`;
  const layer = machine.about.layers[seen.owner];
  const flips = [seen.hflip && "sideways", seen.vflip && "upside down"].filter(Boolean).join(" and ");
  const plane = `${PLANE_NAMES[seen.plane]} plane${seen.high ? ", high" : ""}`;
  return `${layer ? `Layer ${layer.name}` : "No layer"} on the ${plane}: `
    + `pattern ${seen.number}${flips ? `, flipped ${flips}` : ""}, colour ${colour}.`;
}

function speedRow(plane, line) {
  const source = speedPlace(plane, line);
  const figure = (fixed) => String(Number((fixed / ONE).toPrecision(4)));
  return make("tr", {},
    make("th", { scope: "row", class: `of-${PLANE_NAMES[plane]}` }, PLANE_NAMES[plane]),
    make("td", {}, ratioText(machine.ratio[source])),
    make("td", {}, figure(machine.drift[source])),
    make("td", {}, String(screen.offsets[line * 2 + plane])));
}

function showSpeeds(line) {
  const heads = ["Plane", "Pixels a camera pixel", "Pixels a frame", "Scroll word"];
  const table = $("line-speeds");
  table.replaceChildren(table.caption,
    make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, speedRow(BACK, line), speedRow(FRONT, line)));
}

const TICK_PX = 8;
const MARK_SLIDERS = ["mark-line", "mark-column"];

/** How much of the mark is drawn: the whole line, a cross, ticks at both edges, or nothing. */
function markKind() {
  if (view.way !== "flat") return "none";
  if (view.hover || MARK_SLIDERS.includes(document.activeElement?.id)) return "line";
  if (view.playing) return "none";
  return view.pinned.byHand ? "cross" : "ticks";
}

/** The mark as a path: the line where it is pointed at, else no more than a cross and two ticks. */
function markPath(mark, kind) {
  if (kind === "none") return "";
  const { scale } = view;
  const x = (mark.x + 0.5) * scale;
  const y = (mark.line + 0.5) * scale;
  const wide = machine.width * scale;
  if (kind === "ticks") return `M0 ${y}H${TICK_PX}M${wide - TICK_PX} ${y}H${wide}`;
  const gap = Math.max(6, scale * 2);
  const arm = gap * 2.2;
  const [left, right] = kind === "line" ? [0, wide] : [x - arm, x + arm];
  return `M${left} ${y}H${x - gap}M${x + gap} ${y}H${right}M${x} ${y - arm}V${y - gap}M${x} ${y + gap}V${y + arm}`;
}

function drawMarks() {
  const path = markPath(markNow(), markKind());
  const marks = $("marks");
  if (!marks.firstChild) {
    marks.append(make("path", { class: "under" }), make("path", { class: "over" }));
  }
  marks.setAttribute("viewBox", `0 0 ${machine.width * view.scale} ${machine.lines * view.scale}`);
  for (const node of marks.children) node.setAttribute("d", path);
}

function bindMark(id, key) {
  $(id).addEventListener("input", (event) => {
    view.hover = null;
    view.pinned = { ...view.pinned, [key]: Number(event.target.value), byHand: true };
    redraw();
  });
}

parts.push({
  start() {
    bindMark("mark-line", "line");
    bindMark("mark-column", "x");
    for (const id of MARK_SLIDERS) {
      for (const kind of ["focus", "blur"]) $(id).addEventListener(kind, redraw);
    }
  },
  load() {
    $("mark-line").max = machine.lines - 1;
    $("mark-column").max = machine.width - 1;
  },
  drawn: drawMarks,
  read() {
    const mark = markNow();
    $("mark-line").value = mark.line;
    $("mark-column").value = mark.x;
    setText($("mark-line-text"), String(mark.line));
    setText($("mark-column-text"), String(mark.x));
    const seen = seenAt(mark);
    setText($("mark-text"), markWords(mark, seen));
    showSpeeds(mark.line);
    if (seen.plane !== null && !view.pointed && !view.keepPattern && document.activeElement !== $("pattern")) {
      view.pattern = seen.number;
    }
  },
});
