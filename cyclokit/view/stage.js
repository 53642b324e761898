// The stage: makes one SVG move. Python has drawn it and has worked out all geometry; each part says how
// it moves (data-move: how far from the middle it runs round and at which rate, how fast it spins, drifts,
// how high it stands), and tables hold what is different at every pin. Here parts are carried along, the
// reader's wishes are listened to, and angles are told. No geometry, no network, no build step.

const DEGREE = Math.PI / 180;
const SPEEDS = [-360, -180, -90, -60, -30, -10, -3, 3, 10, 30, 60, 90, 180, 360]; // degrees a second
const STARTS_AT = 60;
const TELL_EVERY = 100; // ms between two words to Python while the crank is dragged
const PUSHES = { "counter-clockwise": "-", clockwise: "+" }; // load on the disc -> the push that resists it
const WORDS = {
  stage: "moving picture: space plays, arrows turn, plus and minus change the speed, Escape leaves",
  controls: "controls of the moving picture",
  angle: "angle in degrees",
  layers: "Show",
  disc: "Hold the disc",
  load: "Turn the load round",
  dimmed: "The shape of these numbers is not sound. What you see is the last one that was.",
};
const STYLE = `${ground(".cyclokit-stage")}
.cyclokit-stage { max-width: 62em; display: flex; flex-wrap: wrap; gap: .6em 1.2em; align-items: flex-start; }
.cyclokit-stage .picture { flex: 3 1 20em; max-width: 34em; min-width: 0; }
.cyclokit-stage svg { touch-action: pan-y pinch-zoom; cursor: grab; }
.cyclokit-stage[data-dimmed] svg { opacity: .45; filter: grayscale(1); }
.cyclokit-stage .controls { flex: 2 1 15em; max-width: 26em; min-width: 0; }
.cyclokit-stage .row { display: flex; flex-wrap: wrap; gap: .4em; align-items: center; margin: 0 0 .5em; }
.cyclokit-stage button { font: inherit; color: inherit; background: transparent; border: 1px solid var(--line);
  border-radius: .4em; padding: .15em .6em; min-width: 2.6em; min-height: 2em; cursor: pointer; }
.cyclokit-stage button[aria-pressed="true"] { border: 3px double var(--ink); font-weight: bold; }
.cyclokit-stage input[type="range"] { width: 100%; margin: .2em 0; accent-color: var(--focus); }
.cyclokit-stage summary { cursor: pointer; width: fit-content; min-height: 24px; }
.cyclokit-stage .layers { columns: 2 8em; padding: .3em 0; }
.cyclokit-stage label { display: flex; gap: .4em; align-items: center; min-height: 1.7em; break-inside: avoid; }
.cyclokit-stage [hidden] { display: none; }
.cyclokit-stage figcaption { flex: 1 1 100%; }
.cyclokit-stage .warning { font-weight: bold; margin: 0 0 .5em; }`;

const within = (value, whole) => ((value % whole) + whole) % whole;

// --- the picture: what is in it, and how it is carried along

function read(text) {
  const { svg, facts } = parsed(text);
  const all = (selector) => [...svg.querySelectorAll(selector)];
  const parts = all("[data-move]").map((element) => ({ element, move: element.dataset.move.split(" ").map(Number) }));
  for (const first of all('[data-pin="0"]:only-child')) { // the other pins of a layer that was not shown
    for (let pin = 1; pin < facts.pins; pin += 1) {
      const copy = first.cloneNode();
      copy.dataset.pin = pin;
      first.parentNode.append(copy);
    }
  }
  const pins = all("[data-pin]").map((element) => {
    const pin = Number(element.dataset.pin);
    const base = `rotate(${(-360 * pin) / facts.pins})translate(${facts.circle})`;
    element.setAttribute("transform", base);
    return { element, base, late: pin / facts.pins, layer: element.parentNode.dataset.layer };
  });
  const trails = all("[data-trail]").map((element) => (
    { element, points: element.dataset.trail.split(" "), shown: 0 }));
  const disc = parts.find((part) => part.element.dataset.part === "disc");
  const world = svg.querySelector("[data-world]");
  return { svg, facts, parts, pins, trails, disc, world, layers: all("[data-layer]") };
}

function pose([orbit, rate, spin, drift, up], degrees) {
  const angle = degrees * DEGREE;
  return {
    x: orbit * Math.cos(rate * angle) + drift * angle,
    y: orbit * Math.sin(rate * angle) + up,
    spin: spin * degrees,
  };
}

// SVG's y axis points down and its angles run clockwise: hence the minus signs
const moved = ({ x, y, spin }) => `translate(${x.toFixed(4)} ${(-y).toFixed(4)}) rotate(${(-spin).toFixed(4)})`;
const held = ({ x, y, spin }) => `rotate(${spin.toFixed(4)}) translate(${(-x).toFixed(4)} ${y.toFixed(4)})`;

/** What a table of pin 0 over one crank turn says of a pin that comes `late` (a share of a turn). */
const looked = (table, degrees, late) => table[within(Math.round((degrees / 360 - late) * table.length), table.length)];

function carry(picture, degrees, frame, shown, load) {
  const { facts, world, parts, pins, trails, disc } = picture;
  for (const { element, move } of parts) element.setAttribute("transform", moved(pose(move, degrees)));
  world.setAttribute("transform", frame === "disc" && disc ? held(pose(disc.move, degrees)) : "");
  const tell = {};
  const count = (name, yes) => { tell[name] = (tell[name] ?? 0) + (yes ? 1 : 0); return yes ? "visible" : "hidden"; };
  for (const { element, base, late, layer } of pins) {
    if (!shown.has(layer)) continue;
    const at = (table) => looked(table, degrees, late);
    if (layer === "pushing") {
      element.setAttribute("visibility", count("can push", at(facts.push) === PUSHES[load]));
    } else if (layer === "gaps") {
      element.setAttribute("visibility", count("lost contact", at(facts.gap) > facts.closed));
    } else {
      const grown = layer === "forces" ? `scale(${at(facts.force)})` : "";
      element.setAttribute("transform", `${base}rotate(${-at(facts.normal)})${grown}`);
      if (layer === "normals") element.setAttribute("x2", -at(facts.reach));
    }
  }
  for (const trail of trails) {
    const wanted = 1 + Math.round((degrees / (360 * facts.turns)) * (trail.points.length - 1));
    if (wanted !== trail.shown) trail.element.setAttribute("points", trail.points.slice(0, wanted).join(" "));
    trail.shown = wanted;
  }
  return tell;
}

// --- the stage: picture and controls, for a model with crank, show, frame, load, playing, dimmed and _svg

function mount(model, host) {
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let picture, degrees, before = null, waiting = 0, seen = true, told = 0, grabbed = null;
  let speed = STARTS_AT;
  let playing = false;
  const shown = () => new Set(model.get("show"));
  const whole = () => 360 * picture.facts.turns;
  const frame = () => (picture.facts.frames[model.get("frame")] ? model.get("frame") : "ring");
  const say = (name, value) => { model.set(name, value); model.save_changes(); };

  const button = (words, act, more = {}) => make("button", { type: "button", ...more, on: { click: act } }, words);
  const play = button("Play", () => setPlaying(!playing), { "aria-keyshortcuts": "Space", class: "play" });
  const [backStep, onStep] = [-1, 1].map((way) => button("", () => step(way * picture.facts.step[0]),
    { "aria-keyshortcuts": way > 0 ? "ArrowUp" : "ArrowDown" }));
  const rate = make("span", { "aria-live": "polite" });
  const slider = make("input", { type: "range", min: 0, step: "any", "aria-label": WORDS.angle, on: {
    input: () => { setPlaying(false); turnTo(Number(slider.value)); },
    change: tellCrank,
  } });
  const line = make("output");
  const hold = button(WORDS.disc, () => say("frame", frame() === "disc" ? "ring" : "disc"));
  const round = button(WORDS.load, () =>
    say("load", model.get("load") === "clockwise" ? "counter-clockwise" : "clockwise"));
  const boxes = make("div", { class: "layers" });
  const choice = make("details", {}, make("summary", {}, WORDS.layers), boxes);
  const warning = make("p", { class: "warning", role: "status" });
  const space = make("div", { class: "picture" });
  const caption = make("figcaption");
  const controls = make("div", { class: "controls", role: "group", "aria-label": WORDS.controls },
    warning,
    make("div", { class: "row" }, play,
      button("−1°", () => step(-1), { "aria-keyshortcuts": "ArrowLeft" }),
      button("+1°", () => step(1), { "aria-keyshortcuts": "ArrowRight" }), backStep, onStep),
    make("div", { class: "row" }, button("Slower", () => faster(-1), { "aria-keyshortcuts": "-" }),
      button("Faster", () => faster(1), { "aria-keyshortcuts": "+" }), button("Reverse", () => setSpeed(-speed)), rate),
    slider, line, make("div", { class: "row" }, hold, round), choice);
  host.classList.add("cyclokit-stage");
  host.setAttribute("tabindex", 0);
  host.setAttribute("aria-label", WORDS.stage);
  host.dataset.lmSuppressShortcuts = "true";
  host.replaceChildren(make("style", {}, STYLE), space, controls, caption);

  function show() { // what is shown, and all that hangs on it but not on the angle
    const { facts, layers } = picture;
    const names = shown();
    for (const element of layers) element.setAttribute("display", names.has(element.dataset.layer) ? "inline" : "none");
    for (const box of boxes.querySelectorAll("input")) box.checked = names.has(box.value);
    const sentences = Object.keys(facts.layers).filter((name) => names.has(name)).map((name) => facts.layers[name]);
    caption.textContent = [facts.words, ...sentences].filter((sentence) => sentence).join(" ");
    picture.svg.setAttribute("aria-label", caption.textContent);
    hold.hidden = !facts.frames.disc;
    hold.setAttribute("aria-pressed", frame() === "disc");
    round.hidden = !names.has("pushing");
    line.hidden = !names.has("angles");
    const mirror = model.get("load") === "clockwise" ? "scale(1,-1)" : "";
    for (const arrow of picture.svg.querySelectorAll("[data-load]")) arrow.setAttribute("transform", mirror);
    host.toggleAttribute("data-dimmed", model.get("dimmed"));
    warning.textContent = model.get("dimmed") ? WORDS.dimmed : "";
    warning.hidden = !model.get("dimmed");
    draw();
  }

  function redraw() { // another picture
    picture = read(model.get("_svg"));
    const { facts, svg } = picture;
    space.replaceChildren(svg);
    svg.addEventListener("pointerdown", grab);
    svg.addEventListener("pointermove", drag);
    for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, letGo);
    svg.addEventListener("touchstart", keepFinger, { passive: false });
    [backStep.textContent, onStep.textContent] = [`−${facts.step[1]}`, `+${facts.step[1]}`];
    slider.max = whole();
    const names = Object.keys(facts.layers);
    if (boxes.textContent !== names.join("")) { // as long as they are the same, the focus stays
      boxes.replaceChildren(...names.map((name) =>
        make("label", {}, make("input", { type: "checkbox", value: name, on: { change: choose } }), name)));
    }
    degrees = within(model.get("crank") / DEGREE, whole());
    show();
  }

  function draw() {
    const tell = carry(picture, degrees, frame(), shown(), model.get("load"));
    const angles = picture.facts.frames[frame()].map(([name, each]) => `${name} ${number(degrees * each, 1)}°`);
    const counts = Object.entries(tell).map(([name, how]) => `${how} of ${picture.facts.pins} ${name}`);
    const text = [...angles, ...counts].join(", ");
    if (line.textContent !== text) line.textContent = text;
    slider.value = degrees;
    slider.setAttribute("aria-valuetext", text);
  }

  function turnTo(wanted) { degrees = within(wanted, whole()); draw(); }
  function tellCrank() { told = performance.now(); say("crank", degrees * DEGREE); }
  function step(by) { setPlaying(false); turnTo(degrees + by); tellCrank(); }
  function setSpeed(wanted) { speed = wanted; rate.textContent = `${number(speed, 0)}° a second`; }
  function faster(way) { setSpeed(SPEEDS[Math.min(Math.max(SPEEDS.indexOf(speed) + way, 0), SPEEDS.length - 1)]); }
  function choose() { say("show", [...boxes.querySelectorAll("input:checked")].map((box) => box.value)); }

  function setPlaying(wanted) {
    if (playing === wanted) return;
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    line.setAttribute("aria-live", playing ? "off" : "polite"); // sixty a second would drown everything else
    if (!playing) tellCrank();
    say("playing", playing);
    run();
  }

  function run() { // ask for the next frame while there is something to see
    before = null;
    cancelAnimationFrame(waiting);
    if (playing && seen) waiting = requestAnimationFrame(next);
  }

  function next(now) {
    if (!host.isConnected) return; // a closed page leaves nothing running
    if (before !== null) turnTo(degrees + (speed * (now - before)) / 1000);
    before = now;
    waiting = requestAnimationFrame(next);
  }

  function pointed(event) { // where the pointer is, in degrees of the crank
    const { facts, svg } = picture;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    if (facts.along) return at.x / facts.along / DEGREE;
    return Math.atan2(-at.y, at.x) / DEGREE / facts.frames[frame()][0][1];
  }
  function grab(event) {
    setPlaying(false);
    host.focus({ preventScroll: true });
    picture.svg.setPointerCapture(event.pointerId);
    grabbed = pointed(event);
    event.preventDefault();
  }
  function keepFinger(event) { // a finger on the knob turns the crank, elsewhere it scrolls the page
    if (event.target.closest("[data-knob]")) event.preventDefault();
  }
  function drag(event) {
    if (grabbed === null) return;
    const now = pointed(event);
    let by = now - grabbed;
    if (!picture.facts.along) { // directions jump where they have gone round: take the short way
      const round = 360 / picture.facts.frames[frame()][0][1];
      by = within(by + round / 2, round) - round / 2;
    }
    grabbed = now;
    turnTo(degrees + by);
    if (performance.now() - told > TELL_EVERY) tellCrank();
  }
  function letGo() { if (grabbed !== null) tellCrank(); grabbed = null; }

  const keys = {
    " ": () => setPlaying(!playing), ArrowRight: () => step(1), ArrowLeft: () => step(-1),
    ArrowUp: () => step(picture.facts.step[0]), ArrowDown: () => step(-picture.facts.step[0]),
    "+": () => faster(1), "-": () => faster(-1), "=": () => faster(1), Escape: () => leave(host),
  };
  function key(event) {
    const pressesItself = event.key === " " && event.target !== host && event.target !== slider;
    if (!(event.key in keys) || pressesItself || event.ctrlKey || event.altKey || event.metaKey) return;
    keys[event.key]();
    event.preventDefault();
    event.stopPropagation();
  }

  const theme = themed(host);
  const sight = new IntersectionObserver((entries) => { // also once at the start, when the stage is in its page
    seen = entries.at(-1).isIntersecting;
    theme.paint();
    run();
  });
  const heard = {
    "change:_svg": redraw, "change:show": show, "change:frame": show, "change:load": show, "change:dimmed": show,
    "change:playing": () => setPlaying(model.get("playing")),
    "change:crank": () => {
      const wanted = model.get("crank") / DEGREE;
      if (Math.abs(within(wanted - degrees + 1, whole()) - 1) > 1e-6) turnTo(wanted);
    },
  };
  for (const [what, act] of Object.entries(heard)) model.on(what, act);
  host.addEventListener("keydown", key);
  sight.observe(host);
  redraw();
  setSpeed(STARTS_AT);
  theme.paint();
  if (calm.matches) { if (model.get("playing")) say("playing", false); } else setPlaying(model.get("playing"));

  return () => { // the cell was run again, or the notebook closed
    playing = false;
    cancelAnimationFrame(waiting);
    theme.stop();
    sight.disconnect();
    host.removeEventListener("keydown", key);
    for (const [what, act] of Object.entries(heard)) model.off(what, act);
  };
}

/** A model for pages without Python: it keeps what it is told and passes it on. */
function alone(state) {
  const acts = {};
  return {
    get: (name) => state[name],
    set: (name, value) => { state[name] = value; (acts[`change:${name}`] ?? []).forEach((act) => act()); },
    on: (what, act) => (acts[what] ??= []).push(act),
    off: (what, act) => { acts[what] = (acts[what] ?? []).filter((other) => other !== act); },
    save_changes: () => {},
  };
}

/** Bring every still picture of a saved page to life. */
function playSaved() {
  for (const host of document.querySelectorAll("[data-cyclokit-stage]:not([data-live])")) {
    host.dataset.live = "";
    const bytes = Uint8Array.from(atob(host.querySelector("img").src.split(",")[1]), (letter) => letter.charCodeAt(0));
    const state = JSON.parse(host.dataset.cyclokitStage);
    mount(alone({ ...state, dimmed: false, _svg: new TextDecoder().decode(bytes) }), host);
  }
}

export default {
  render({ model, el }) {
    const host = make("figure");
    el.append(host);
    return mount(model, host);
  },
};
