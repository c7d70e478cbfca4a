// The rail beside the picture: how fast each line of both planes moves.

// narrow and least in pixels, the rest in rem
const RAIL = { wide: 8.6, narrow: 30, least: 40, figure: 2.5, label: 0.9 };

const rail = { up: "" };

/** Where the speed of a screen line stands in the machine's lists. */
function speedPlace(plane, line) {
  const first = line - line % linesShared(machine);
  return modulo(first + screen.up[plane], machine.moving) * 2 + plane;
}

/** Runs of lines of one plane that move alike: first line, the one after the last, ratio, drift. */
function speedRuns(plane) {
  const runs = [];
  for (let line = 0; line < machine.lines; line += 1) {
    const place = speedPlace(plane, line);
    const ratio = machine.ratio[place];
    const drift = machine.drift[place];
    const last = runs[runs.length - 1];
    if (last && last.ratio === ratio && last.drift === drift) last.end = line + 1;
    else runs.push({ first: line, end: line + 1, ratio, drift });
  }
  return runs;
}

/** One plane's column of the rail: a bar a run, and its figure where there is room. */
function railColumn(plane, left, width, scale, most) {
  const rem = remPixels();
  const figures = width > RAIL.least;
  const bars = width - (figures ? RAIL.figure * rem : 3);
  const group = make("g", { class: PLANE_NAMES[plane] });
  let free = 0;
  if (figures) {
    const name = { class: "name", x: left + width - 4, y: 0.75 * rem };
    group.append(make("text", name, PLANE_NAMES[plane]));
    free = 0.75 * rem;
  }
  for (const run of speedRuns(plane)) {
    const top = run.first * scale;
    const height = (run.end - run.first) * scale;
    const length = Math.max(Math.abs(run.ratio) / most * bars, 1);
    group.append(make("rect", { x: left, y: top, width: length.toFixed(2), height }));
    const middle = top + height / 2;
    if (!figures || Math.min(height, middle - free) < RAIL.label * rem) continue;
    group.append(make("text", { x: left + length + 4, y: middle + 3.5 }, ratioText(run.ratio)));
    free = middle;
  }
  return group;
}

function buildRail() {
  rail.up = screen.up.join();
  const node = $("rail");
  const width = view.rail;
  const height = machine.lines * view.scale;
  const most = machine.ratio.reduce((best, ratio) => Math.max(best, Math.abs(ratio)), 1);
  node.setAttribute("viewBox", `0 0 ${width} ${height}`);
  node.setAttribute("aria-label", railWords());
  const half = width / 2;
  node.replaceChildren(
    railColumn(BACK, 4, half - 4, view.scale, most),
    railColumn(FRONT, half + 4, half - 4, view.scale, most),
    ...splitBands().map(([first, end]) => make("rect", {
      class: "split", x: 0, width, y: first * view.scale, height: (end - first) * view.scale,
    })),
    make("rect", { id: "rail-mark", x: 0, width, height: Math.max(view.scale, 1) }),
  );
}

/** What the rail shows, in words and in its own colours. */
function buildLegend() {
  const sign = (name, words) => make("span", { class: name }, make("i"), `${words} `);
  const vertical = machine.lift ? " as they stand now" : "";
  $("rail-legend").replaceChildren(
    `Bars beside the picture: how far each line moves for a pixel of the camera${vertical}. `,
    sign("of-back", "back plane"), sign("of-front", "front plane"),
    ...(splitBands().length ? [sign("split", "lines on which colours are rewritten")] : []));
}

/** Lines on which a split rewrites colours: first, and the one after the last. */
function splitBands() {
  const told = machine.about.facts.splits;
  if (told?.length) return told.map((border) => [border.first, border.last + 1]);
  const lines = [...new Set(machine.about.splits.map((split) => split.line))].sort((a, b) => a - b);
  const bands = [];
  for (const line of lines) {
    const last = bands[bands.length - 1];
    if (last && last[1] === line) last[1] = line + 1;
    else bands.push([line, line + 1]);
  }
  return bands;
}

function railWords() {
  const say = (plane) => {
    const speeds = speedRuns(plane).map((run) => run.ratio);
    const [least, most] = [Math.min(...speeds), Math.max(...speeds)].map(ratioText);
    return least === most ? least : `${least} to ${most}`;
  };
  return "Speed of each line in pixels for a pixel of the camera: "
    + `back plane ${say(BACK)}, front plane ${say(FRONT)}; the mark tells it line by line`;
}

parts.push({
  load() {
    rail.up = "";
    buildLegend();
  },
  fitted() {
    if (screen.up) buildRail();
  },
  drawn() {
    if (rail.up !== screen.up.join()) buildRail();
    $("rail-mark")?.setAttribute("y", markNow().line * view.scale);
  },
});
