// The chart under a stage: its cursor goes with the stage's slider, and the slider with the cursor. Python has drawn
// the curves and has told their values at even steps of one crank turn.

const CHART_WORDS = { name: "Chart: crank angle within one turn, in degrees", crank: "crank in this turn" };
const CHART_STYLE = `${ground(".cyclokit-chart")}
.cyclokit-chart { max-width: 552px; }
.cyclokit-chart .track { touch-action: pan-y; cursor: ew-resize; user-select: none; margin: 0 0 .4em;
  container-type: inline-size; }
@container (max-width: 380px) { .cyclokit-chart svg text { font-size: 19px; } } /* still 11 pixels at 280 */
.cyclokit-chart[data-theme="dark"] svg text { fill: var(--ink); }`;

/** A curve's value, on a straight line between two that Python has told. */
function between({ values }, degrees) {
  const at = ((values.length - 1) * degrees) / 360;
  const before = Math.min(Math.floor(at), values.length - 2);
  return values[before] + (at - before) * (values[before + 1] - values[before]);
}

function mountChart(host, stage, text) {
  const { svg, facts: { left, right, curves } } = parsed(text);
  const slider = stage.querySelector('input[type="range"]');
  const cursor = svg.querySelector("[data-cursor]");
  const dots = curves.map((_, number) => svg.querySelector(`[data-dot="${number}"]`));
  const track = make("div", { class: "track", role: "slider", tabindex: 0, "aria-label": CHART_WORDS.name,
    "aria-valuemin": 0, "aria-valuemax": 360, on: { pointerdown: grab, pointermove: drag, pointerup: letGo,
      pointercancel: letGo, keydown: press } }, svg);
  const line = make("output");
  const caption = host.querySelector("figcaption");
  host.classList.add("cyclokit-chart");
  host.replaceChildren(make("style", {}, CHART_STYLE), track, line, caption);

  function draw() { // where the stage is
    const degrees = Number(slider.value);
    cursor.setAttribute("transform", `translate(${left + ((right - left) * degrees) / 360} 0)`);
    const read = curves.map((curve, place) => {
      const value = between(curve, degrees);
      dots[place].setAttribute("cy", curve.place[0] + curve.place[1] * value);
      return `${curve.name} ${number(value, curve.decimals)}${curve.unit}`;
    });
    line.textContent = `${CHART_WORDS.crank} ${number(degrees, 1)}°: ${read.join(", ")}`;
    track.setAttribute("aria-valuenow", degrees.toFixed(1));
    track.setAttribute("aria-valuetext", line.textContent);
    host.dataset.theme = stage.dataset.theme ?? "light";
  }
  function pull(event) { // the stage goes where the pointer is
    const { x } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    slider.value = (360 * (x - left)) / (right - left); // a slider keeps itself within its ends
    slider.dispatchEvent(new Event("input"));
  }
  function grab(event) {
    track.focus({ preventScroll: true });
    track.setPointerCapture(event.pointerId);
    pull(event);
    event.preventDefault();
  }
  function drag(event) { if (track.hasPointerCapture(event.pointerId)) pull(event); }
  function letGo() { slider.dispatchEvent(new Event("change")); }
  function press(event) { // the stage knows what keys do
    const { key, ctrlKey, altKey, metaKey } = event;
    if (stage.dispatchEvent(new KeyboardEvent("keydown", { key, ctrlKey, altKey, metaKey, cancelable: true }))) return;
    event.preventDefault();
    event.stopPropagation();
  }

  line.setAttribute("aria-live", "off"); // the stage's own line is read out
  const moved = new MutationObserver(draw);
  moved.observe(slider, { attributeFilter: ["aria-valuetext"] });
  moved.observe(stage, { attributeFilter: ["data-theme"] });
  draw();
}

/** Bring every chart of a page to life whose stage is alive. */
function playCharts() {
  for (const host of document.querySelectorAll("[data-cyclokit-chart]:not([data-live])")) {
    host.dataset.live = "";
    const stage = host.parentElement.querySelector("[data-cyclokit-stage]");
    mountChart(host, stage, decodeURIComponent(host.querySelector("img").src.replace(/^[^,]*,/, "")));
  }
}
