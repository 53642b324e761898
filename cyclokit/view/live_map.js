// The live map: the reader's point on the map of sound shapes, dragged or moved with the arrow keys. Python has
// drawn the map and knows what is sound; here the point follows the panel's sliders, and moves two of them.

const MAP_WORDS = {
  map: "map of sound shapes: drag the point, or move it with the arrow keys; Escape leaves",
  sound: "its shape is sound",
  wrong: "its shape is not sound",
};
const MAP_STYLE = `${ground(".cyclokit-map")}
.cyclokit-map { max-width: 544px; min-width: 0; }
.cyclokit-map [data-point] { cursor: grab; touch-action: none; }
.cyclokit-map[data-theme="dark"] svg text { fill: var(--ink); stroke: none; }`;
const MAP_KEYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** A map in a host. `two` are the sliders that it moves; `move` is told their new values, by name. */
function mountMap(host, svg, two, move) {
  let picture, point, held = null, sound = true;
  const line = make("output", { "aria-live": "polite" });
  const space = make("div");
  const caption = make("figcaption");
  const sizes = () => two.map((slider) => slider.value);
  host.classList.add("cyclokit-map");
  host.setAttribute("tabindex", 0);
  host.setAttribute("role", "group");
  host.setAttribute("aria-label", MAP_WORDS.map);
  host.dataset.lmSuppressShortcuts = "true";
  host.replaceChildren(make("style", {}, MAP_STYLE), space, line, caption);

  function redraw(text) { // another ring has another map
    picture = parsed(text);
    point = picture.svg.querySelector("[data-point]");
    caption.textContent = picture.facts.words;
    picture.svg.setAttribute("aria-label", picture.facts.words);
    point.addEventListener("pointerdown", grab);
    point.addEventListener("pointermove", drag);
    for (const end of ["pointerup", "pointercancel"]) point.addEventListener(end, () => { held = null; });
    space.replaceChildren(picture.svg);
    place();
    tell(sound);
  }

  function place() {
    const [roller, eccentricity] = sizes();
    const { left, bottom, across, up } = picture.facts;
    point.setAttribute("transform", `translate(${left + across * roller} ${-bottom - up * eccentricity})`);
  }

  function tell(judged) { // only Python knows whether it is sound: words and mark come with its picture
    sound = judged;
    for (const mark of point.querySelectorAll("[data-mark]")) {
      mark.setAttribute("display", (mark.dataset.mark === "sound") === sound ? "inline" : "none");
    }
    const text = `${two.map((slider) => `${slider.words} ${slider.text()} mm`).join(", ")}: `
      + (sound ? MAP_WORDS.sound : MAP_WORDS.wrong);
    if (line.textContent !== text) line.textContent = text;
  }

  function moveTo(wanted) {
    move(Object.fromEntries(two.map((slider, axis) => [slider.name, onStep(wanted[axis], slider)])));
  }

  function pointed(event) { // where the pointer is [mm]
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.svg.getScreenCTM().inverse());
    const { left, bottom, across, up } = picture.facts;
    return [(at.x - left) / across, (-at.y - bottom) / up];
  }
  function grab(event) { // the point stays under the finger where it was taken
    const at = pointed(event);
    held = sizes().map((size, axis) => size - at[axis]);
    host.focus({ preventScroll: true });
    point.setPointerCapture(event.pointerId);
    event.preventDefault();
  }
  function drag(event) {
    if (held) moveTo(pointed(event).map((value, axis) => value + held[axis]));
  }

  host.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const way = MAP_KEYS[event.key];
    if (way) moveTo(sizes().map((size, axis) => size + way[axis] * two[axis].step));
    else if (event.key === "Escape") leave(host);
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  const paint = themed(host);
  new IntersectionObserver(paint).observe(host); // also once at the start, when the map is in its page
  redraw(svg);
  return { redraw, place, tell };
}
