// The stage: makes one SVG move. Python has drawn it and has worked out all geometry; each part says how
// it moves (data-move: how far from the middle it runs round and at which rate, how fast it spins, drifts,
// how high it stands), and tables hold what is different at every pin. Here parts are carried along, the
// reader's wishes are listened to, and angles are told. No geometry, no network, no build step.

const DEGREE = Math.PI / 180;
const SPEEDS = [1, 3, 10, 30, 60, 90, 180, 360]; // degrees a second
const STARTS_AT = 60;
const FAST = 240; // degrees a second: beyond it a wheel is a blur
const WINDOW = 6.5; // radii of a circle that rolls along: how much of its line a narrow page shows
const NARROW = 700; // pixels
const CLICK = 4; // pixels: a hand that moved less has clicked
const PUSHES = { "counter-clockwise": "-", clockwise: "+" }; // load on the disc -> the push that resists it
const STAGE_WORDS = {
  keys: "Moving picture: space plays, arrows turn, Home and End go to its ends, plus and minus change the speed, Escape leaves.",
  controls: "controls: ",
  angle: "angle in degrees, within one turn",
  layers: "Show",
  disc: "Hold the disc",
  held: "The disc is held: what you see and read is seen from it. Press again to hold the ring.",
  load: "Turn the load round",
};
const STAGE_STYLE = `${ground(".cyclokit-stage")}
.cyclokit-stage { max-width: 992px; display: flex; flex-wrap: wrap; gap: .6em 1.2em; align-items: flex-start; }
.cyclokit-stage .picture { flex: 3 1 500px; max-width: 544px; min-width: 0; }
.cyclokit-stage[data-wide] .picture { flex-basis: 100%; max-width: 992px; }
.cyclokit-stage svg { touch-action: pan-y pinch-zoom; cursor: pointer; }
.cyclokit-stage svg [data-knob] { cursor: grab; }
.cyclokit-stage .controls { flex: 2 1 240px; max-width: 416px; min-width: 0; }
.cyclokit-stage .row { display: flex; flex-wrap: wrap; gap: .4em; align-items: center; margin: 0 0 .5em; }
.cyclokit-stage .row span { min-width: 7em; }
.cyclokit-stage summary { cursor: pointer; width: fit-content; min-height: 24px; }
.cyclokit-stage .layers { columns: 2 8em; padding: .3em 0; }
.cyclokit-stage label { display: flex; gap: .4em; align-items: center; min-height: 1.7em; break-inside: avoid; }
.cyclokit-stage [hidden] { display: none; }
.cyclokit-stage figcaption { flex: 1 1 100%; }
.cyclokit-stage .note { margin: 0 0 .5em; }
.cyclokit-stage[data-theme="dark"] svg text { fill: var(--ink); stroke: var(--page); }
.cyclokit-stage svg [stroke="#ffffff"] { stroke: var(--page); }
@media print { .cyclokit-stage .row, .cyclokit-stage [role="status"] { display: none; } }`;

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
  const layerOf = (element) => element.closest("[data-layer]").dataset.layer;
  const arcs = all("[data-arc]").map((element) => (
    { element, layer: layerOf(element), at: arcOf(element.dataset.arc.split(" ").map(Number)) }));
  const runs = all("[data-run]").map((element) => (
    { element, layer: layerOf(element), at: runOf(Number(element.dataset.run)) }));
  const disc = parts.find((part) => part.element.dataset.part === "disc");
  const world = svg.querySelector("[data-world]");
  return { svg, facts, parts, pins, trails, grown: [...arcs, ...runs], disc, world, layers: all("[data-layer]") };
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

/** An arc from +x on, as far as something has turned that turns at a rate; the same as `arc` in svg.py. */
const arcOf = ([radius, rate, every]) => (degrees) => {
  const turned = (rate * degrees) % every;
  const [x, y] = [radius * Math.cos(turned * DEGREE), -radius * Math.sin(turned * DEGREE)];
  const [large, way] = [Math.abs(turned) > 180 ? 1 : 0, turned < 0 ? 1 : 0];
  return `M${radius},0A${radius} ${radius} 0 ${large} ${way} ${x.toFixed(3)},${y.toFixed(3)}`;
};

/** The way that a circle has rolled since it began its turn; the same as `run` in svg.py. */
const runOf = (radius) => (degrees) => `M0,0H${(-radius * (degrees % 360) * DEGREE).toFixed(3)}`;

/** What a table of pin 0 over one crank turn says of a pin that comes `late` (a share of a turn). */
const looked = (table, degrees, late) => table[within(Math.round((degrees / 360 - late) * table.length), table.length)];

function carry(picture, degrees, frame, shown, load) {
  const { facts, world, parts, pins, trails, grown, disc } = picture;
  for (const { element, move } of parts) element.setAttribute("transform", moved(pose(move, degrees)));
  world.setAttribute("transform", frame === "disc" && disc ? held(pose(disc.move, degrees)) : "");
  for (const { element, layer, at } of grown) if (shown.has(layer)) element.setAttribute("d", at(degrees));
  const tell = {};
  const count = (name, yes) => { tell[name] = (tell[name] ?? 0) + (yes ? 1 : 0); return yes ? "visible" : "hidden"; };
  for (const { element, base, late, layer } of pins) {
    if (!shown.has(layer)) continue;
    const at = (table) => looked(table, degrees, late);
    if (layer === "pushing") {
      element.setAttribute("visibility", count("can push", at(facts.push) === PUSHES[load]));
    } else if (layer === "gaps") {
      element.setAttribute("visibility", count("lost contact", at(facts.gap) > facts.closed));
    } else if (layer === "roller marks") {
      element.setAttribute("transform", `${base}rotate(${-(facts.rolls * (degrees - 360 * late) + at(facts.rolled))})`);
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

// --- the stage: picture and controls, in a host; what the reader wishes is kept in `state`

function mountStage(host, state, svg) {
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let picture, degrees = state.crank / DEGREE, before = null, waiting = 0, inSight = true, grabbed = null, narrow = false;
  let speed = STARTS_AT, way = 1, playing = false, sliding = null;
  const shown = () => new Set(state.show);
  const whole = () => 360 * picture.facts.turns;
  const frame = () => (picture.facts.frames[state.frame] ? state.frame : "ring");

  const button = (words, act, more = {}) => make("button", { type: "button", ...more, on: { click: act } }, words);
  const play = button("Play", () => setPlaying(!playing), { "aria-keyshortcuts": "Space", class: "play" });
  const [backStep, onStep] = [-1, 1].map((sign) => button("", () => step(sign * picture.facts.step[0]),
    { "aria-keyshortcuts": sign > 0 ? "ArrowUp" : "ArrowDown" }));
  const rate = make("span", { "aria-live": "polite" });
  const slider = make("input", { type: "range", min: 0, max: 360, step: "any", "aria-label": STAGE_WORDS.angle, on: {
    input: () => { // the hand stays in the turn in which it began
      setPlaying(false);
      sliding ??= turn();
      turnTo(360 * sliding + Number(slider.value));
    },
    change: () => { sliding = null; draw(); },
  } });
  const turns = make("div", { class: "row" }, button("To start", () => jump(0)),
    button("+1 turn", () => step(360)), make("span"));
  const line = make("output");
  const hold = button(STAGE_WORDS.disc, () => { state.frame = frame() === "disc" ? "ring" : "disc"; show(); });
  const round = button(STAGE_WORDS.load, () => {
    state.load = state.load === "clockwise" ? "counter-clockwise" : "clockwise";
    show();
  });
  const held = make("p", { class: "note", role: "status" });
  const boxes = make("div", { class: "layers" });
  const choice = make("details", {}, make("summary", {}, STAGE_WORDS.layers), boxes);
  const space = make("div", { class: "picture" });
  const caption = make("figcaption");
  const controls = make("div", { class: "controls", role: "group" },
    make("div", { class: "row" }, play,
      button("−1°", () => step(-1), { "aria-keyshortcuts": "ArrowLeft" }),
      button("+1°", () => step(1), { "aria-keyshortcuts": "ArrowRight" }), backStep, onStep),
    make("div", { class: "row" }, button("Slower", () => faster(-1), { "aria-keyshortcuts": "-" }),
      button("Faster", () => faster(1), { "aria-keyshortcuts": "+" }),
      button("Reverse", () => { way = -way; setSpeed(speed); }), rate),
    slider, turns, line, make("div", { class: "row" }, hold, round), held, choice);
  host.classList.add("cyclokit-stage");
  host.setAttribute("tabindex", 0);
  host.setAttribute("role", "group");
  host.dataset.lmSuppressShortcuts = "true";
  host.replaceChildren(make("style", {}, STAGE_STYLE), space, controls, caption);

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
    held.textContent = frame() === "disc" ? STAGE_WORDS.held : "";
    held.hidden = !held.textContent;
    round.hidden = !names.has("pushing");
    line.hidden = !names.has("angles");
    const mirror = state.load === "clockwise" ? "scale(1,-1)" : "";
    for (const arrow of picture.svg.querySelectorAll("[data-load]")) arrow.setAttribute("transform", mirror);
    draw();
  }

  function redraw(text) { // another picture
    picture = read(text);
    const { facts, svg } = picture;
    const { x: left, y: top, width, height } = svg.viewBox.baseVal;
    picture.box = { left, top, whole: width, height };
    if (facts.along) svg.dataset.box = svg.getAttribute("viewBox");
    space.replaceChildren(svg);
    svg.addEventListener("pointerdown", grab);
    svg.addEventListener("pointermove", drag);
    svg.addEventListener("pointerup", letGo);
    svg.addEventListener("pointercancel", () => { grabbed = null; });
    svg.addEventListener("touchstart", keepFinger, { passive: false });
    host.setAttribute("aria-label", `${facts.words} ${STAGE_WORDS.keys}`);
    controls.setAttribute("aria-label", STAGE_WORDS.controls + facts.words);
    host.toggleAttribute("data-wide", width > 1.5 * height);
    [backStep.textContent, onStep.textContent] = [`−${facts.step[1]}`, `+${facts.step[1]}`];
    turns.hidden = facts.turns < 2;
    const names = Object.keys(facts.layers);
    if (boxes.textContent !== names.join("")) { // as long as they are the same, the focus stays
      boxes.replaceChildren(...names.map((name) =>
        make("label", {}, make("input", { type: "checkbox", value: name, on: { change: choose } }), name)));
    }
    degrees = within(degrees, whole());
    show();
  }

  function draw() {
    const { facts: { along } } = picture;
    const tell = carry(picture, degrees, frame(), shown(), state.load);
    const angles = picture.facts.frames[frame()].map(([name, each]) => `${name} ${number(degrees * each, 1)}°`);
    const counts = Object.entries(tell).map(([name, how]) => `${how} of ${picture.facts.pins} ${name}`);
    const text = [...angles, ...counts].join(", ");
    if (line.textContent !== text) line.textContent = text;
    slider.value = degrees - 360 * (sliding ?? turn());
    slider.setAttribute("aria-valuetext", text);
    if (along) follow(along);
    turns.lastChild.textContent = `turn ${turn() + 1} of ${picture.facts.turns}`;
  }

  function follow(radius) { // on a narrow page the picture goes with the circle, instead of being a thin strip
    const { left, top, whole: all, height } = picture.box;
    const wide = narrow ? WINDOW * radius : all;
    const at = narrow ? radius * degrees * DEGREE - wide / 2 : left;
    picture.svg.setAttribute("viewBox", `${Math.min(Math.max(at, left), left + all - wide)} ${top} ${wide} ${height}`);
  }
  function turn() { return Math.min(Math.floor(degrees / 360 + 1e-9), picture.facts.turns - 1); } // whole ones done
  // the slider's end is a place of its own, all others are once round
  function turnTo(wanted) { degrees = wanted === whole() ? wanted : within(wanted, whole()); draw(); }
  function jump(to) { setPlaying(false); turnTo(to); }
  function step(by) { jump(within(degrees + by, whole())); }
  function setSpeed(wanted) { speed = wanted; rate.textContent = `${number(way * speed, 0)}° a second`; }
  function faster(by) { setSpeed(SPEEDS[Math.min(Math.max(SPEEDS.indexOf(speed) + by, 0), SPEEDS.length - 1)]); }
  function choose() {
    const others = state.show.filter((name) => !(name in picture.facts.layers)); // of a picture that may come back
    state.show = [...others, ...[...boxes.querySelectorAll("input:checked")].map((box) => box.value)];
    show();
  }

  function setPlaying(wanted) {
    if (playing === wanted) return;
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    line.setAttribute("aria-live", playing ? "off" : "polite"); // sixty a second would drown everything else
    run();
  }

  function run() { // ask for the next frame while there is something to see
    before = null;
    cancelAnimationFrame(waiting);
    if (playing && inSight) waiting = requestAnimationFrame(next);
  }

  function next(now) {
    if (!host.isConnected) return; // a closed page leaves nothing running
    if (before !== null) turnTo(within(degrees + (way * speed * (now - before)) / 1000, whole()));
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
    host.focus({ preventScroll: true });
    picture.svg.setPointerCapture(event.pointerId);
    grabbed = { at: pointed(event), x: event.clientX, y: event.clientY, moved: false };
    event.preventDefault();
  }
  function keepFinger(event) { // a finger on the knob turns the crank, elsewhere it scrolls the page
    if (event.target.closest("[data-knob]")) event.preventDefault();
  }
  function drag(event) {
    if (!grabbed) return;
    grabbed.moved ||= Math.hypot(event.clientX - grabbed.x, event.clientY - grabbed.y) > CLICK;
    if (!grabbed.moved) return;
    setPlaying(false);
    const now = pointed(event);
    let by = now - grabbed.at;
    if (!picture.facts.along) { // directions jump where they have gone round: take the short way
      const once = 360 / picture.facts.frames[frame()][0][1];
      by = within(by + once / 2, once) - once / 2;
    }
    grabbed.at = now;
    turnTo(within(degrees + by, whole()));
  }
  function letGo() {
    if (grabbed && !grabbed.moved) setPlaying(!playing);
    grabbed = null;
  }

  const keys = {
    " ": () => setPlaying(!playing), ArrowRight: () => step(1), ArrowLeft: () => step(-1),
    ArrowUp: () => step(picture.facts.step[0]), ArrowDown: () => step(-picture.facts.step[0]),
    Home: () => jump(0), End: () => jump(whole()),
    "+": () => faster(1), "-": () => faster(-1), "=": () => faster(1), Escape: () => leave(host),
  };
  host.addEventListener("keydown", (event) => {
    const pressesItself = (event.key === " " && event.target !== host && event.target !== slider)
      || (["Home", "End"].includes(event.key) && event.target === slider); // it has ends of its own
    if (!(event.key in keys) || pressesItself || event.ctrlKey || event.altKey || event.metaKey) return;
    keys[event.key]();
    event.preventDefault();
    event.stopPropagation();
  });

  const paint = themed(host);
  const sight = new IntersectionObserver((entries) => { // also once at the start, when the stage is in its page
    inSight = entries.at(-1).isIntersecting;
    paint();
    run();
  });
  host.addEventListener("cyclokit-scene", (event) => redraw(event.detail)); // a panel has another picture
  sight.observe(host);
  new ResizeObserver(([{ contentRect }]) => {
    if (matchMedia("print").matches) return; // a sheet of paper is narrow too, but has all of the line on it
    narrow = contentRect.width < NARROW;
    draw();
  }).observe(host);
  redraw(svg);
  const fastest = Math.max(...picture.facts.frames.ring.map(([, each]) => Math.abs(each)));
  setSpeed(SPEEDS.findLast((each) => each <= STARTS_AT && (each === SPEEDS[0] || each * fastest <= FAST)));
  paint();
  setPlaying(state.playing && !calm.matches);
}

/** On paper a curve that is being drawn is seen whole, and all of its line; the next movement takes it up where it was. */
function printWhole() {
  for (const svg of document.querySelectorAll("[data-live] [data-box]")) svg.setAttribute("viewBox", svg.dataset.box);
  for (const curve of document.querySelectorAll('[data-live] [data-layer="curve"] [data-trail]')) {
    curve.setAttribute("points", curve.dataset.trail);
  }
}

/** Bring every still picture of a page to life. */
function playSaved() {
  window.cyclokitPrints ??= window.addEventListener("beforeprint", printWhole) ?? true; // once a page
  for (const host of document.querySelectorAll("[data-cyclokit-stage]:not([data-live])")) {
    host.dataset.live = "";
    const svg = decodeURIComponent(host.querySelector("img").src.replace(/^[^,]*,/, ""));
    mountStage(host, JSON.parse(host.dataset.cyclokitStage), svg);
  }
}
