// Play, pause, step, camera, speed, mood, and the picture as a file.

const PLAY_SHAPE = "M3.5 2 13.5 8l-10 6z";
const PAUSE_SHAPE = "M3.5 2.5h3v11h-3zM9.5 2.5h3v11h-3z";
const CAMERA_WINDOW = 8192;

/** Pixels as text, with as many decimals as they need, three at most. */
function pixelText(fixed) {
  return String(Number((fixed / ONE).toFixed(3)));
}

/** Let the camera's slider reach as far as the camera has gone. */
function showCamera() {
  const slider = $("camera");
  const pixels = view.camera / ONE;
  const low = Math.min(0, Math.floor(pixels / CAMERA_WINDOW) * CAMERA_WINDOW);
  const high = Math.max(CAMERA_WINDOW, Math.ceil(pixels / CAMERA_WINDOW) * CAMERA_WINDOW);
  if (Number(slider.min) !== low) slider.min = low;
  if (Number(slider.max) !== high) slider.max = high;
  if (document.activeElement !== slider || view.playing || Number(slider.value) !== Math.round(pixels)) {
    slider.value = Math.round(pixels);
  }
  setText($("camera-text"), `${Math.round(pixels)} px`);
  slider.setAttribute("aria-valuetext", `${Math.round(pixels)} pixels, frame ${view.frame}`);
}

/** The camera's height, where planes move up and down. */
function showHeight() {
  const pixels = Math.round(screen.height / ONE);
  $("height").value = pixels;
  setText($("height-text"), `${pixels} px`);
  $("height").setAttribute("aria-valuetext", `${pixels} pixels down`);
}

/** Let the height's slider reach what planes and preview reach. */
function fitHeight() {
  const own = machine.heights ?? [0];
  const spare = machine.planeHeight - machine.lines;
  $("height-field").hidden = !machine.lift?.some((ratio) => ratio !== 0);
  $("height").min = Math.floor(Math.min(0, ...own) / ONE);
  $("height").max = Math.ceil(Math.max(spare * ONE, ...own) / ONE);
}

function showPlaying() {
  const button = $("play");
  setText(button.querySelector("span"), view.playing ? "Pause" : "Play");
  button.querySelector("path").setAttribute("d", view.playing ? PAUSE_SHAPE : PLAY_SHAPE);
}

function showSpeed() {
  $("speed").value = view.speed / ONE;
  setText($("speed-text"), `${pixelText(view.speed)} px a frame`);
  $("speed").setAttribute("aria-valuetext", `${pixelText(view.speed)} pixels a frame`);
}

/** One frame on or back, camera and time together. */
function stepBy(frames) {
  setPlaying(false);
  advance(frames);
}

/** The picture of this moment as a PNG file, a pixel for a pixel of the console. */
function savePicture() {
  $("screen").toBlob((blob) => {
    const link = make("a", {
      href: URL.createObjectURL(blob),
      download: `${machine.about.name}-${view.mood}-${Math.round(view.camera / ONE)}.png`,
    });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }, "image/png");
}

function buildMoods() {
  const names = [...machine.moods.keys()];
  $("mood-field").hidden = names.length < 2;
  $("moods").replaceChildren(...names.map((name) => make("label", {},
    make("input", {
      type: "radio", name: "mood", value: name, checked: name === view.mood,
      onchange: () => {
        view.mood = name;
        redraw();
      },
    }),
    make("span", {}, name))));
}

/** How far a fade has come, 0 to 1: it holds, goes, holds and comes back. */
function fadeShare({ frames, hold }, frame) {
  const at = modulo(frame, 2 * (frames + hold));
  if (at >= hold + frames) return 1 - Math.max(at - 2 * hold - frames, 0) / frames;
  return Math.max(at - hold, 0) / frames;
}

/** Which mood colours fade to, and how much of the way is behind them. */
function showFade() {
  const fade = machine.about.facts.fade;
  const text = $("fade-text");
  text.hidden = !fade;
  if (!fade) return;
  const share = fadeShare(fade, view.frame);
  setText(text, fade.to === view.mood
    ? `fade to ${fade.to}: shown already`
    : `fade to ${fade.to} and back: ${Math.round(share * 100)} % of the way`);
  for (const input of document.getElementsByName("mood")) {
    const arriving = input.value === fade.to && fade.to !== view.mood && share > 0;
    input.parentElement.classList.toggle("fading", arriving);
  }
}

parts.push({
  start() {
    $("play").addEventListener("click", () => setPlaying(!view.playing));
    $("frame-back").addEventListener("click", () => stepBy(-1));
    $("frame-on").addEventListener("click", () => stepBy(1));
    $("restart").addEventListener("click", () => {
      view.frame = 0;
      view.camera = 0;
      view.lift = 0;
      redraw();
    });
    $("camera").addEventListener("input", (event) => {
      view.camera = Number(event.target.value) * ONE;
      redraw();
    });
    $("height").addEventListener("input", (event) => {
      view.lift = Number(event.target.value) * ONE - ownHeight(machine, view.frame);
      redraw();
    });
    $("speed").addEventListener("input", (event) => {
      view.speed = Math.round(Number(event.target.value) * ONE);
      redraw();
    });
    $("save").addEventListener("click", savePicture);
  },
  load() {
    const most = Math.max(8, Math.ceil(Math.abs(machine.step) / ONE * 2));
    $("speed").min = -most;
    $("speed").max = most;
    buildMoods();
    fitHeight();
  },
  drawn() {
    showCamera();
    showHeight();
    showPlaying();
    showSpeed();
    showFade();
  },
});
