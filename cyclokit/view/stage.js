// Makes every still picture of a stage move. Each SVG group says how it moves per radian of the
// angle the reader turns (see stage.py); here it is only carried along. No geometry, no network.

const DEGREE = Math.PI / 180;

function place(group, angle) {
  const rate = (name) => Number(group.dataset[name]);
  const x = rate("orbit") * Math.cos(rate("orbitRate") * angle) + rate("drift") * angle;
  const y = rate("orbit") * Math.sin(rate("orbitRate") * angle) + rate("up");
  const spin = (rate("spinRate") * angle) / DEGREE;
  // SVG's y axis points down and its angles run clockwise: hence both minus signs
  group.setAttribute("transform", `translate(${x.toFixed(4)} ${(-y).toFixed(4)}) rotate(${(-spin).toFixed(4)})`);
}

function button(words, sign, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = sign;
  made.title = words;
  made.setAttribute("aria-label", words);
  made.dataset.lmSuppressShortcuts = "true"; // JupyterLab looks for this on the focused element first
  made.style.cssText = "min-width:2.4em;min-height:2em;font-size:1em";
  made.addEventListener("click", act);
  return made;
}

function start(stage) {
  const still = stage.querySelector("img");
  const bytes = Uint8Array.from(atob(still.src.split(",")[1]), (letter) => letter.charCodeAt(0));
  const text = new TextDecoder().decode(bytes);
  const svg = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
  svg.style.width = "100%";
  svg.style.maxHeight = "70vh";
  svg.setAttribute("aria-label", still.alt);
  still.replaceWith(svg);

  const groups = [...svg.querySelectorAll("g[data-orbit]")];
  const trails = [...svg.querySelectorAll("[data-trail]")].map((line) => ({
    line,
    points: line.getAttribute("points").split(" "),
  }));
  const readings = stage.dataset.readout.split(",").map((pair) => pair.split(":"));
  const whole = Number(stage.dataset.turns) * 360; // degrees the slider spans
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const perSecond = Math.min(60, whole / 12); // degrees: slow enough to follow one lobe
  let degrees = 0;
  let playing = !calm;
  let before = null;

  const slider = document.createElement("input");
  slider.type = "range";
  slider.min = 0;
  slider.max = whole;
  slider.step = 1;
  slider.dataset.lmSuppressShortcuts = "true";
  slider.setAttribute("aria-label", `angle of the ${readings[0][0]} in degrees`);
  slider.style.cssText = "flex:1 1 10em;min-width:6em";
  const line = document.createElement("output");
  line.style.cssText = "flex:1 1 100%;font-variant-numeric:tabular-nums";
  const play = button("play or pause (space)", "", () => setPlaying(!playing));

  function draw() {
    const angle = degrees * DEGREE;
    for (const group of groups) place(group, angle);
    for (const { line: drawn, points } of trails) {
      const shown = 1 + Math.round((degrees / whole) * (points.length - 1));
      drawn.setAttribute("points", points.slice(0, shown).join(" "));
    }
    slider.value = degrees;
    line.textContent = readings.map(([name, rate]) => `${name} ${(degrees * rate).toFixed(1)}°`).join("   ");
  }

  function turnTo(next) {
    degrees = ((next % whole) + whole) % whole;
    draw();
  }

  function setPlaying(wanted) {
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    line.setAttribute("aria-live", playing ? "off" : "polite");
    before = null;
    if (playing) requestAnimationFrame(frame);
  }

  function frame(now) {
    if (!playing || !stage.isConnected) return; // a closed page leaves nothing running
    if (before !== null) turnTo(degrees + (perSecond * (now - before)) / 1000);
    before = now;
    requestAnimationFrame(frame);
  }

  function step(by) {
    setPlaying(false);
    turnTo(degrees + by);
  }

  slider.addEventListener("input", () => {
    setPlaying(false);
    degrees = Number(slider.value);
    draw();
  });
  const steps = { ArrowRight: 1, ArrowLeft: -1, ArrowUp: 10, ArrowDown: -10 };
  stage.addEventListener("keydown", (event) => {
    if (event.key === " " && event.target.tagName !== "BUTTON") setPlaying(!playing);
    else if (event.key in steps) step(steps[event.key]);
    else if (event.key === "Escape") document.activeElement.blur();
    else return;
    event.preventDefault();
    event.stopPropagation();
  });

  const controls = document.createElement("div");
  controls.style.cssText = "display:flex;flex-wrap:wrap;gap:.4em;align-items:center";
  controls.append(play, button("one degree back (left arrow)", "−1°", () => step(-1)));
  controls.append(button("one degree on (right arrow)", "+1°", () => step(1)), slider, line);
  stage.append(controls);
  draw();
  setPlaying(playing);
}

for (const stage of document.querySelectorAll("[data-cyclokit-stage]:not([data-live])")) {
  stage.dataset.live = "";
  start(stage);
}
