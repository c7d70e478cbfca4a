// What is drawn: planes, sprites and single layers, each to be shown, hidden or pointed at.

const DEPTHS = { back: 0, front: 1, sprites: 2 };

/** Layers in the order in which they are drawn, the farthest first. */
function layersByDepth() {
  const rank = (layer) => (layer.high ? 3 : 0) + DEPTHS[layer.plane];
  return machine.about.layers
    .map((layer, number) => ({ name: layer.name, number, near: nearness(layer), rank: rank(layer) }))
    .sort((one, other) => one.rank - other.rank || one.number - other.number);
}

/** Hide the layers that `view.hidden` names. */
function applyHidden() {
  screen.hide(hiddenNumbers());
  for (const box of $("layers").querySelectorAll("input")) box.checked = !view.hidden.has(box.value);
  for (const button of $("layers").querySelectorAll("button")) {
    button.setAttribute("aria-pressed", String(isAlone(button.value)));
  }
  redraw();
}

function isAlone(name) {
  const others = machine.about.layers.map((layer) => layer.name).filter((other) => other !== name);
  return others.length > 0 && !view.hidden.has(name) && others.every((other) => view.hidden.has(other));
}

/** Show one layer alone, or all again. */
function toggleAlone(name) {
  const names = machine.about.layers.map((layer) => layer.name);
  view.hidden = isAlone(name) ? new Set() : new Set(names.filter((other) => other !== name));
  applyHidden();
}

function point(what) {
  view.pointed = what;
  redraw();
}

/** Let a node point at something while the pointer or the focus is on it. */
function pointing(node, what) {
  node.addEventListener("pointerenter", () => point(what()));
  node.addEventListener("pointerleave", () => point(null));
  node.addEventListener("focusin", () => {
    if (node.querySelector(":focus-visible") || node.matches(":focus-visible")) point(what());
  });
  node.addEventListener("focusout", () => point(null));
}

function speedText(layer) {
  const [first, last] = layer.ratio.map((ratio) => ratioText(Math.round(ratio * ONE)));
  const drift = layer.drift[0] ? ` and drifts ${Number(layer.drift[0].toPrecision(3))}` : "";
  return `speed ${first === last ? first : `${first} to ${last}`}${drift}`;
}

/** Plane, lines and speed of a layer, in a few words. */
function layerFacts(layer) {
  const place = `${layer.plane}${layer.high ? ", high" : ""}`;
  return make("span", { class: "facts" },
    make("span", { class: `of-${layer.plane}` }, place),
    ` · lines ${layer.lines[0]}–${layer.lines[1] - 1} · ${speedText(layer)}`);
}

function layerRow(layer, number) {
  const name = make("label", { class: "check" },
    make("input", {
      type: "checkbox", value: layer.name, checked: !view.hidden.has(layer.name),
      onchange: (event) => {
        if (event.target.checked) view.hidden.delete(layer.name);
        else view.hidden.add(layer.name);
        applyHidden();
      },
    }),
    make("span", {}, layer.name));
  const alone = make("button", {
    type: "button", class: "small", value: layer.name, "aria-pressed": "false",
    "aria-label": `${layer.name} alone`, onclick: () => toggleAlone(layer.name),
  }, "alone");
  const row = make("tr", {},
    make("th", { scope: "row" }, name, layerFacts(layer)),
    make("td", {}, alone));
  pointing(row, () => ({ layer: number }));
  return row;
}

function buildLayers() {
  const table = $("layers");
  table.replaceChildren(table.caption,
    make("thead", {}, make("tr", {},
      make("th", { scope: "col" }, "Layer: plane, lines, speed against the camera"),
      make("td", {}, make("span", { class: "unseen" }, "Alone")))),
    make("tbody", {}, ...layersByDepth().map(({ number }) => layerRow(machine.about.layers[number], number))));
}

parts.push({
  start() {
    for (const plane of ["back", "front", "sprites"]) {
      $(`show-${plane}`).addEventListener("change", (event) => {
        view.show[plane] = event.target.checked;
        redraw();
      });
    }
  },
  load() {
    $("sprites-choice").hidden = !machine.hasSprites;
    buildLayers();
    applyHidden();
  },
});
