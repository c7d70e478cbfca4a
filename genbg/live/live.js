
// What makes the page live: looks that come after a save, and controls for the preset's values.

const live = {
  ...JSON.parse($("backdrop").textContent).live,
  sending: false, again: false, controls: new Map(), drawn: { number: 0, sketch: true, at: 0 },
};
const SLIDE_MOST = 4096;
const SLIDE_STEPS = 200;

/** Ask the server for something; its answer, or an error in words. */
async function ask(address) {
  try {
    const answer = await fetch(address, {
      method: "POST",
      headers: { "content-type": "application/json", "x-genbg-token": live.token },
      body: JSON.stringify({ turned: live.turned }),
    });
    const text = await answer.text();
    return answer.ok || answer.status === 409 ? JSON.parse(text) : { error: text };
  } catch {
    return { error: "The program that shows this page has ended." };
  }
}

/** Send the turned values; while an answer is out, only the last wish is kept. */
async function sendTurned() {
  if (live.sending) {
    live.again = true;
    return;
  }
  live.sending = true;
  do {
    live.again = false;
    const { error } = await ask("/turn");
    if (error) showFaults([error]);
  } while (live.again);
  live.sending = false;
}

function turn(path, value) {
  if (value === null) delete live.turned[path];
  else live.turned[path] = value;
  showTurned();
  sendTurned();
}

function showTurned() {
  for (const [path, { row }] of live.controls) row.classList.toggle("turned", path in live.turned);
  const none = Object.keys(live.turned).length === 0;
  $("live-write").disabled = none || live.whyNot !== "";
  $("live-drop").disabled = none;
}

function showFaults(lines) {
  setText($("live-faults"), lines.join("\n"));
}

function showLiveStatus() {
  const many = Object.keys(live.turned).length;
  const now = live.faults.length
    ? "The picture is the last good one."
    : live.sketch ? "First look; patterns are being merged." : "Finished, as it would be exported.";
  setText($("live-status"), many ? `${now} ${many} not in the file.` : now);
}

// --- controls, one kind after another: each gives its nodes and a way to show a value ----------

function numberInput(control, name, use) {
  const whole = control.kind === "int" || control.kind === "ints";
  return make("input", {
    type: "number", "aria-label": name, title: control.about,
    min: control.low, max: control.high, step: whole ? 1 : "any", oninput: use,
  });
}

/** The number that a field holds, null where it holds none. */
function numberOf(field) {
  return field.value === "" || !Number.isFinite(field.valueAsNumber) ? null : field.valueAsNumber;
}

function numberNodes(control) {
  const { low, high } = control;
  const field = numberInput(control, control.name, () => {
    if (slide) slide.value = field.value;
    turn(control.path, numberOf(field));
  });
  const bounded = low !== null && high !== null && high - low <= SLIDE_MOST;
  const slide = bounded && make("input", {
    type: "range", "aria-label": `${control.name}, slider`, min: low, max: high,
    step: control.kind === "int" ? 1 : (high - low) / SLIDE_STEPS,
    oninput: () => {
      field.value = Number(Number(slide.value).toPrecision(4));
      turn(control.path, numberOf(field));
    },
  });
  return {
    nodes: slide ? [field, slide] : [field],
    show(value) {
      field.value = value ?? "";
      if (slide) slide.value = value ?? low;
    },
  };
}

function arrayNodes(control, count) {
  const use = () => {
    const values = fields.map(numberOf);
    if (!values.includes(null)) turn(control.path, values);
  };
  const fields = Array.from({ length: count }, (_, at) =>
    numberInput(control, `${control.name}, ${at + 1} of ${count}`, use));
  return { nodes: fields, show: (value) => fields.forEach((field, at) => { field.value = value?.[at] ?? ""; }) };
}

function choiceNodes(control) {
  const texts = control.choices.map((choice) => JSON.stringify(choice));
  const field = make("select", {
    "aria-label": control.name, title: control.about,
    onchange: () => turn(control.path, JSON.parse(field.value)),
  }, ...texts.map((text, at) => make("option", { value: text },
    [control.choices[at]].flat().join(" × "))));
  return { nodes: [field], show: (value) => { field.value = JSON.stringify(value); } };
}

function boolNodes(control) {
  const field = make("input", {
    type: "checkbox", "aria-label": control.name, title: control.about,
    onchange: () => turn(control.path, field.checked),
  });
  return { nodes: [field], show: (value) => { field.checked = value; } };
}

function colourNodes(control, count) {
  const many = control.kind === "colours";
  const use = () => turn(control.path, many ? fields.map(({ value }) => value) : fields[0].value);
  const fields = Array.from({ length: count }, (_, at) => make("input", {
    type: "color", title: control.about, oninput: use,
    "aria-label": many ? `${control.name}, ${at + 1} of ${count}` : control.name,
  }));
  return { nodes: fields, show: (value) => fields.forEach((field, at) => { field.value = [value].flat()[at] ?? "#000000"; }) };
}

function nodesOf(control) {
  const { kind, value, length, choices } = control;
  if (kind === "choice" || choices.length) return choiceNodes(control);
  if (kind === "bool") return boolNodes(control);
  if (kind === "colour") return colourNodes(control, 1);
  if (kind === "colours") return colourNodes(control, value.length);
  if (Array.isArray(value) || kind === "ints" || kind === "floats") {
    return arrayNodes(control, length ?? value?.length ?? 0);
  }
  return numberNodes(control);
}

function controlRow(control) {
  const { nodes, show } = nodesOf(control);
  const told = control.unit && !control.name.endsWith(control.unit.split(" ")[0]);
  const name = told ? `${control.name} (${control.unit})` : control.name;
  const row = make("div", { class: "turn", title: control.about },
    make("span", {}, name), make("div", {}, ...nodes));
  live.controls.set(control.path, { row, show, shape: shapeOf(control), value: control.value });
  show(control.value);
  return row;
}

/** What decides which nodes a control has. */
function shapeOf({ kind, value, choices }) {
  return `${kind} ${Array.isArray(value) ? value.length : 1} ${choices.length}`;
}

/** Build the controls; where only values differ, show these and leave the nodes alone. */
function showGroups(groups) {
  const all = groups.flatMap(({ controls }) => controls);
  const same = all.length === live.controls.size
    && all.every((control) => live.controls.get(control.path)?.shape === shapeOf(control));
  if (same) {
    for (const control of all) {
      const known = live.controls.get(control.path);
      const busy = known.row.contains(document.activeElement) && control.path in live.turned;
      if (!busy && JSON.stringify(known.value) !== JSON.stringify(control.value)) known.show(control.value);
      known.value = control.value;
    }
    return;
  }
  const open = new Set([...$("live-groups").querySelectorAll("details[open]")].map(({ id }) => id));
  live.controls.clear();
  $("live-groups").replaceChildren(...groups.map(({ name, about, controls }) => {
    const id = `turn-${name.replace(/\W/g, "-")}`;
    return make("details", { id, open: open.has(id) },
      make("summary", { title: about }, make("b", {}, name)), ...controls.map(controlRow));
  }));
}

// --- what comes and what goes -------------------------------------------------------------------

/** Show a look; the caution that a finished one had stays while there is only a first look. */
function takeLook({ number, sketch, data }) {
  if (number === live.number && live.drawn.number === number) return;
  if (sketch) {
    const kept = machine.about.warnings.filter((text) => FLASHING.test(text));
    data.about.warnings = [...new Set([...data.about.warnings, ...kept])];
  }
  load(data);
  live.number = number;
  live.sketch = sketch;
  markDrawn(number, sketch);
}

/** Note when a look was on the screen. */
function markDrawn(number, sketch) {
  requestAnimationFrame(() => setTimeout(() => {
    live.drawn = { number, sketch, at: Date.now() };
  }));
}

function takeStatus(told) {
  live.faults = told.faults;
  live.sketch = told.sketch;
  if (told.groups && told !== live) showGroups(told.groups);
  showFaults(told.faults);
  showTurned();
  showLiveStatus();
}

async function writeTurned() {
  const { error } = await ask("/write");
  if (error) {
    showFaults([error]);
    return;
  }
  live.turned = {};
  showTurned();
  setText($("live-status"), "Written to the preset.");
}

async function saveCopy() {
  const { text, error } = await ask("/text");
  if (error) {
    showFaults([error]);
    return;
  }
  const link = make("a", {
    href: URL.createObjectURL(new Blob([text], { type: "application/toml" })),
    download: `${machine.about.name}.toml`,
  });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

/** A message as a sentence. */
function sentence(text) {
  return text && `${text[0].toUpperCase()}${text.slice(1)}.`;
}

function buildLive() {
  const panel = make("section", { class: "panel", id: "live", "aria-labelledby": "live-name" },
    make("h2", { id: "live-name" }, "Preset"),
    make("p", { id: "live-status", role: "status" }),
    make("div", { id: "live-faults", role: "alert" }),
    make("div", { class: "buttons" },
      make("button", { type: "button", id: "live-write", class: "main", onclick: writeTurned }, "Write to the file"),
      make("button", { type: "button", id: "live-drop", onclick: () => {
        live.turned = {};
        showTurned();
        sendTurned();
      } }, "Put back"),
      make("button", { type: "button", id: "live-copy", onclick: saveCopy }, "Save a copy")),
    make("p", { class: "hint", id: "live-why" }, sentence(live.whyNot)),
    make("div", { id: "live-groups" }));
  $("panels").prepend(panel);
  showGroups(live.groups);
  takeStatus(live);
}

function listen() {
  const source = new EventSource("/events");
  source.addEventListener("look", (event) => takeLook(JSON.parse(event.data)));
  source.addEventListener("status", (event) => takeStatus(JSON.parse(event.data)));
  source.addEventListener("error", () => setText($("live-status"), "No word from the program; is it still running?"));
  source.addEventListener("open", showLiveStatus);
}

buildLive();
markDrawn(live.number, live.sketch);
listen();
Object.defineProperty(window.backdropPage, "live", { get: () => live });
