// The lens: a copy of the picture that looks at one roller's contact from near. What changes in the picture changes in
// it; Python has told how far from the ring's middle the point lies, along the crank, to which the contact looks.

const LENS_WORDS = {
  before: "−1 roller", after: "+1 roller", closer: "Closer", name: (pin) => `Roller ${pin}, enlarged`,
  root: "it is in a root", flank: "it is on a flank", tip: "it is on the tip of a lobe", gap: "there is a gap: it has lost contact",
};
const QUARTER = 0.5; // cosine: as far from a lobe's middle height as its lowest and its highest quarter begin
const WIDE = [2.6, 0.4]; // how much the lens shows, in radii of a roller: all of it, and its contact
const LENS_STYLE = `.cyclokit-lens { margin: .5em 0; max-width: 280px; }
.cyclokit-lens svg { aspect-ratio: 1; margin: 0 0 .5em; border: 2px solid var(--line); border-radius: 8px; cursor: default; pointer-events: none; }
.cyclokit-lens svg [data-layer] * { vector-effect: non-scaling-stroke; stroke-width: 2px; }
.cyclokit-lens svg [stroke-dasharray] { stroke-dasharray: 8px 4px; }
.cyclokit-lens svg :is([data-layer="contacts"], [data-layer="labels"]) { display: none; }`;

function mountLens(host, stage) {
  const { reach, ...told } = JSON.parse(host.dataset.cyclokitLens);
  const picture = stage.querySelector(".picture svg");
  const slider = stage.querySelector('input[type="range"]');
  const rollers = [...picture.querySelectorAll('[data-layer="rollers"] circle')].slice(0, told.pins);
  const world = picture.querySelector("[data-world]");
  const copy = picture.cloneNode(true);
  const copies = [...copy.querySelectorAll("*")];
  const copyOf = new Map([...picture.querySelectorAll("*")].map((element, place) => [element, copies[place]]));
  const facts = JSON.parse(picture.dataset.facts);
  let pin = told.pin, near = 0;
  const name = make("span", { "aria-live": "polite" });
  const place = make("span", { class: "place" }); // changes while it plays: not read out by itself
  const closer = make("button", { type: "button", on: { click: () => { near = 1 - near; aim(); } } }, LENS_WORDS.closer);
  const other = (words, by) => make("button", { type: "button", on: { click: () => {
    pin = within(pin + by, rollers.length);
    aim();
  } } }, words);
  copy.querySelector("title")?.remove();
  host.classList.add("cyclokit-lens");
  host.replaceChildren(make("style", {}, LENS_STYLE), copy,
    make("div", { class: "row" }, other(LENS_WORDS.before, -1), other(LENS_WORDS.after, 1), closer),
    make("p", { class: "note" }, name, ": ", place));
  stage.querySelector(".controls").append(host);

  function aim() { // at the contact, which lies on the roller towards the point about which the disc turns
    const angle = Number(slider.value) * DEGREE;
    const [x, y, radius] = ["cx", "cy", "r"].map((each) => rollers[pin][each].baseVal.value);
    const [across, down] = [reach * Math.cos(angle) - x, -reach * Math.sin(angle) - y];
    const share = radius / Math.hypot(across, down);
    const seen = picture.getScreenCTM().inverse().multiply(world.getScreenCTM());
    const at = new DOMPoint(x + share * across, y + share * down).matrixTransform(seen);
    const wide = WIDE[near] * radius;
    copy.setAttribute("viewBox", `${at.x - wide / 2} ${at.y - wide / 2} ${wide} ${wide}`);
    copy.setAttribute("aria-label", LENS_WORDS.name(pin));
    if (name.textContent !== LENS_WORDS.name(pin)) name.textContent = LENS_WORDS.name(pin);
    place.textContent = `${LENS_WORDS[where(angle / DEGREE)]}.`;
    closer.setAttribute("aria-pressed", near === 1);
  }

  /** What the roller is on. While the crank points to it, it is deepest in a root; half a turn later, on a tip. Between
   * them its distance from the disc's middle goes with the angle's cosine, the eccentricity being small beside it. */
  function where(degrees) {
    const late = pin / rollers.length;
    if (facts.gap && looked(facts.gap, degrees, late) > facts.closed) return "gap";
    const inwards = Math.cos((degrees - 360 * late) * DEGREE);
    return inwards > QUARTER ? "root" : inwards < -QUARTER ? "tip" : "flank";
  }

  new MutationObserver((changes) => {
    for (const { target, attributeName } of changes) {
      const value = target.getAttribute(attributeName);
      const here = copyOf.get(target);
      if (value === null) here?.removeAttribute(attributeName);
      else here?.setAttribute(attributeName, value);
    }
    aim();
  }).observe(picture, { subtree: true, attributeFilter: ["transform", "d", "points", "x2", "visibility", "display"] });
  aim();
}

/** Bring every lens of a page to life. */
function playLenses() {
  for (const host of document.querySelectorAll("[data-cyclokit-lens]:not([data-live])")) {
    host.dataset.live = "";
    mountLens(host, host.parentElement.querySelector("[data-cyclokit-stage]"));
  }
}
