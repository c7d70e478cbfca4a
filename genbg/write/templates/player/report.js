// What it costs: merging, memory and time, and the notes that come with the backdrop.

const PLOT = { width: 320, height: 132, left: 8, right: 8, top: 12, bottom: 24 };

function count(number) {
  return number.toLocaleString("en-GB").replace(/,/g, " ");
}

function mergingWords() {
  const { tiles, error } = machine.about;
  if (!machine.changed) return `All ${count(tiles.stored)} patterns are stored as painted.`;
  const likeness = `Structural similarity ${error.ssim.toFixed(4)}`;
  const noise = error.psnr === null ? "" : `, ${error.psnr.toFixed(1)} dB`;
  return `${count(tiles.before)} patterns were painted and ${count(tiles.stored)} are stored; `
    + `the budget is ${count(tiles.budget)}. ${likeness}${noise}.`;
}

/** The error at the budget that is this share of all patterns, and above, fits the plot. */
const LOW_END = 0.05;

/** Root mean square error at a number of patterns, between the points of the curve. */
function curveError(curve, patterns) {
  const at = curve.findIndex(([count]) => count <= patterns);
  if (at < 0) return Math.sqrt(curve[curve.length - 1][1]);
  if (at === 0) return Math.sqrt(curve[0][1]);
  const [[more, low], [less, high]] = [curve[at - 1], curve[at]];
  const share = (more - patterns) / (more - less);
  return Math.sqrt(low) + share * (Math.sqrt(high) - Math.sqrt(low));
}

/** The curve of error by patterns, from few at the left to all at the right, as in curve.png. */
function buildCurve() {
  const { curve, tiles, error } = machine.about;
  $("curve").hidden = curve.length < 2;
  if (curve.length < 2) return;
  const most = curve[0][0];
  const worst = Math.max(curveError(curve, most * LOW_END), 1e-9);
  const wide = PLOT.width - PLOT.left - PLOT.right;
  const high = PLOT.height - PLOT.top - PLOT.bottom;
  const x = (patterns) => PLOT.left + (patterns - 1) / Math.max(most - 1, 1) * wide;
  const y = (value) => PLOT.top + high * (1 - Math.min(1, value / worst));
  const points = curve.map(([patterns, mse]) => `${x(patterns).toFixed(1)} ${y(Math.sqrt(mse)).toFixed(1)}`);
  const now = Math.sqrt(error.oklab_mse);
  const words = `Visible error at other budgets: root mean square OKLab distance a pixel, by patterns. `
    + `The mark: ${count(tiles.stored)} stored, ${now.toFixed(4)}.`;
  const base = PLOT.height - PLOT.bottom;
  $("curve").replaceChildren(
    make("svg", { viewBox: `0 0 ${PLOT.width} ${PLOT.height}`, role: "img", "aria-label": words },
      make("line", { class: "axis", x1: PLOT.left, x2: PLOT.width - PLOT.right, y1: base, y2: base }),
      make("path", { class: "line", d: `M${points.join("L")}` }),
      make("circle", { cx: x(tiles.stored).toFixed(1), cy: y(now).toFixed(1), r: 4 }),
      make("text", { x: PLOT.left, y: PLOT.height - 6 }, "1 pattern"),
      make("text", { x: PLOT.width - PLOT.right, y: PLOT.height - 6, class: "end" }, `${count(most)} patterns`)),
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
    $("heat-field").hidden = !machine.changed;
    buildCurve();
    buildMemory();
    buildCosts();
    buildNotes();
  },
});
