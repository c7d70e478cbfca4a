// What it costs: merging, memory and time, and the notes that come with the backdrop.

const PLOT = { width: 320, height: 132, left: 8, right: 8, top: 12, bottom: 24 };

function count(number) {
  return number.toLocaleString("en-GB").replace(/,/g, " ");
}

function mergingWords() {
  const { tiles, error } = machine.about;
  if (tiles.before === tiles.stored) return `All ${count(tiles.stored)} patterns are stored as painted.`;
  const likeness = `Structural similarity ${error.ssim.toFixed(4)}`;
  const noise = error.psnr === null ? "" : `, ${error.psnr.toFixed(1)} dB`;
  return `${count(tiles.before)} patterns were painted and ${count(tiles.stored)} are stored; `
    + `the budget is ${count(tiles.budget)}. ${likeness}${noise}.`;
}

/** The curve of error against patterns, from all of them down to those that are stored. */
function buildCurve() {
  const { curve } = machine.about;
  if (curve.length < 2) {
    $("curve").replaceChildren();
    return;
  }
  const most = Math.max(...curve.map(([patterns]) => patterns));
  const least = Math.min(...curve.map(([patterns]) => patterns));
  const worst = Math.max(...curve.map(([, error]) => Math.sqrt(error)), 1e-9);
  const x = (patterns) => PLOT.left
    + (most - patterns) / Math.max(most - least, 1) * (PLOT.width - PLOT.left - PLOT.right);
  const y = (error) => PLOT.height - PLOT.bottom
    - Math.sqrt(error) / worst * (PLOT.height - PLOT.top - PLOT.bottom);
  const points = curve.map(([patterns, error]) => `${x(patterns).toFixed(1)} ${y(error).toFixed(1)}`);
  const last = curve[curve.length - 1];
  const words = `Error against patterns: from ${count(most)} patterns to ${count(last[0])}, `
    + `where the root of the mean squared error is ${Math.sqrt(last[1]).toPrecision(3)} in OKLab.`;
  const base = PLOT.height - PLOT.bottom;
  $("curve").replaceChildren(
    make("svg", { viewBox: `0 0 ${PLOT.width} ${PLOT.height}`, role: "img", "aria-label": words },
      make("line", { class: "axis", x1: PLOT.left, x2: PLOT.width - PLOT.right, y1: base, y2: base }),
      make("path", { class: "line", d: `M${points.join("L")}` }),
      make("circle", { cx: x(last[0]), cy: y(last[1]), r: 4 }),
      make("text", { x: PLOT.left, y: PLOT.height - 6 }, `${count(most)} patterns`),
      make("text", { x: PLOT.width - PLOT.right, y: PLOT.height - 6, class: "end" }, `${count(last[0])} stored`)),
    make("p", { class: "hint" }, words));
}

function buildHeatScale() {
  $("heat-steps").replaceChildren(...[1, 3, 5, 7, 9, 11, 13, 15].map((level) => {
    const step = make("i");
    step.style.backgroundColor = hexOf(heatColours[level]);
    return step;
  }));
}

/** Video memory from its first byte to its last, what is taken filled. */
function buildMemory() {
  const { memory } = machine.about;
  $("memory-strip").replaceChildren(make("svg", {
    viewBox: "0 0 1000 28", preserveAspectRatio: "none", role: "img",
    "aria-label": `Video memory: ${memory.areas.map(areaWords).join(", ")}`,
  },
  make("rect", { class: "free", width: 1000, height: 28 }),
  ...memory.areas.map((area) => make("rect", {
    class: "area", x: area.start / memory.bytes * 1000, height: 28,
    width: Math.max(area.bytes / memory.bytes * 1000 - 1.5, 2),
  }, make("title", {}, areaWords(area))))));
}

function areaWords(area) {
  return `${area.name}, ${count(area.bytes)} bytes from ${area.start.toString(16).padStart(4, "0")}`;
}

/** The memory and time report: what is used, what there is, what is left. */
function buildCosts() {
  const rows = (machine.about.costs.table ?? []).map((cost) => {
    const cells = [cost.used, cost.limit, cost.left].map((figure) => make("td", {}, count(figure)));
    const unit = cost.name.includes(cost.unit) ? "" : cost.unit;
    const name = make("th", { scope: "row" }, `${cost.name} `, make("small", {}, unit));
    return make("tr", { class: cost.over ? "over" : null }, name, ...cells);
  });
  const heads = ["What", "Used", "There is", "Left"];
  const table = $("costs");
  table.replaceChildren(table.caption,
    make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...rows));
  const over = (machine.about.costs.table ?? []).map((cost) => cost.over).filter(Boolean);
  $("over").replaceChildren(...over.map((text) => make("li", {}, text)));
}

function buildNotes() {
  const { warnings } = machine.about;
  $("notes").hidden = warnings.length === 0;
  $("notes").querySelector("ul").replaceChildren(...warnings.map((text) => make("li", {}, text)));
}

function buildHeader() {
  const { title, seed, name, tiles } = machine.about;
  setText($("title"), title || name);
  document.title = title || name;
  setText($("summary"), `seed ${seed} · ${machine.width} × ${machine.lines} · ${count(tiles.stored)} patterns`);
}

parts.push({
  start() {
    buildHeatScale();
    $("heat").addEventListener("change", (event) => {
      view.heat = event.target.checked;
      redraw();
    });
  },
  load() {
    buildHeader();
    setText($("merging-text"), mergingWords());
    buildCurve();
    buildMemory();
    buildCosts();
    buildNotes();
  },
});
