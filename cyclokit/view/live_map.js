// The live map: the reader's point on the map of what is possible, dragged or moved with the arrow keys. Python has
// drawn the map and knows what is possible; here the point follows the sliders, and tells where it was put.

const WORDS = {
  map: "map of what is possible: drag the point, or move it with the arrow keys; Escape leaves",
  roller: "roller radius",
  eccentricity: "eccentricity",
  sound: "its shape is sound",
  wrong: "its shape is not sound",
};
const STYLE = `${ground(".cyclokit-map")}
.cyclokit-map { max-width: 34em; min-width: 0; }
.cyclokit-map [data-point] { cursor: grab; touch-action: none; }
.cyclokit-map[data-theme="dark"] svg text { fill: var(--ink); stroke: none; }`;
const KEYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** The nearest place of a slider to a value; it has its least and greatest value and the step between two. */
function onStep(value, [least, most, step]) {
  const bounded = Math.min(Math.max(value, least), most);
  return Number(Math.min(least + Math.round((bounded - least) / step) * step, most).toFixed(9));
}

function mount(model, host) {
  let picture, point, held = null;
  const line = make("output", { "aria-live": "polite" });
  const space = make("div");
  const caption = make("figcaption");
  host.classList.add("cyclokit-map");
  host.setAttribute("tabindex", 0);
  host.setAttribute("role", "group");
  host.setAttribute("aria-label", WORDS.map);
  host.dataset.lmSuppressShortcuts = "true";
  host.replaceChildren(make("style", {}, STYLE), space, line, caption);

  function redraw() { // another ring has another map
    picture = parsed(model.get("_svg"));
    point = picture.svg.querySelector("[data-point]");
    caption.textContent = picture.facts.words;
    picture.svg.setAttribute("aria-label", picture.facts.words);
    point.addEventListener("pointerdown", grab);
    point.addEventListener("pointermove", drag);
    for (const end of ["pointerup", "pointercancel"]) point.addEventListener(end, letGo);
    space.replaceChildren(picture.svg);
    place();
  }

  function place() {
    const [roller, eccentricity] = model.get("_at");
    const { left, bottom, across, up } = picture.facts;
    point.setAttribute("transform", `translate(${left + across * roller} ${-bottom - up * eccentricity})`);
    tell();
  }

  function tell() {
    const sound = model.get("_sound");
    for (const mark of point.querySelectorAll("[data-mark]")) {
      mark.setAttribute("display", (mark.dataset.mark === "sound") === sound ? "inline" : "none");
    }
    const sizes = model.get("_at").map((size, axis) =>
      number(size, Math.max(0, Math.ceil(-Math.log10(model.get("_steps")[axis][2]) - 1e-9))));
    const text = `${WORDS.roller} ${sizes[0]} mm, ${WORDS.eccentricity} ${sizes[1]} mm: `
      + (sound ? WORDS.sound : WORDS.wrong);
    if (line.textContent !== text) line.textContent = text;
  }

  function moveTo(wanted) {
    model.set("_at", wanted.map((value, axis) => onStep(value, model.get("_steps")[axis])));
    model.save_changes();
    place();
  }

  function pointed(event) { // where the pointer is [mm]
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.svg.getScreenCTM().inverse());
    const { left, bottom, across, up } = picture.facts;
    return [(at.x - left) / across, (-at.y - bottom) / up];
  }
  function grab(event) { // the point stays under the finger where it was taken
    const at = pointed(event);
    held = model.get("_at").map((size, axis) => size - at[axis]);
    host.focus({ preventScroll: true });
    point.setPointerCapture(event.pointerId);
    event.preventDefault();
  }
  function drag(event) {
    if (held) moveTo(pointed(event).map((value, axis) => value + held[axis]));
  }
  function letGo() { held = null; }

  function key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const way = KEYS[event.key];
    if (way) moveTo(model.get("_at").map((size, axis) => size + way[axis] * model.get("_steps")[axis][2]));
    else if (event.key === "Escape") leave(host);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  const theme = themed(host);
  const heard = {
    "change:_svg": redraw, "change:_sound": tell,
    "change:_at": () => { if (!held) place(); }, // an answer to where the hand was a moment ago
  };
  for (const [what, act] of Object.entries(heard)) model.on(what, act);
  host.addEventListener("keydown", key);
  const sight = new IntersectionObserver(theme.paint); // also once at the start, when the map is in its page
  sight.observe(host);
  redraw();

  return () => {
    theme.stop();
    sight.disconnect();
    host.removeEventListener("keydown", key);
    for (const [what, act] of Object.entries(heard)) model.off(what, act);
  };
}

export default {
  render({ model, el }) {
    const host = make("figure");
    el.append(host);
    return mount(model, host);
  },
};
