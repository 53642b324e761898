// The panel: sliders beside a picture that Python draws anew for every set of numbers. Nothing of it is a widget's
// view: Python has left it in the page under a name, and its model finds it there and puts the sliders in. They speak
// when the reader moves them, and never otherwise.

const PANEL_WORDS = {
  field: ", as a number",
  range: (slider) => `${slider.words} must be ${slider.whole ? "a whole number " : ""}from ${slider.least} to ${slider.most}.`,
  reset: "Reset",
};
const PANEL_STYLE = `${ground(".cyclokit-panel")}
.cyclokit-panel fieldset { border: 0; margin: 0; padding: 0; min-width: 0; }
.cyclokit-panel .slider { display: grid; grid-template-columns: 11.5em 1fr 5.5em; gap: .6em; align-items: center; }
.cyclokit-panel .slider input { min-width: 0; }
.cyclokit-panel .slider input[type="number"] { font: inherit; color: inherit; background: transparent; height: 1.8em;
  border: 1px solid var(--line); border-radius: .4em; padding: 0 .3em; font-variant-numeric: tabular-nums; }
.cyclokit-panel .wrong { font-weight: bold; margin: .3em 0; }
.cyclokit-panel [hidden] { display: none; }
@media print { .cyclokit-panel { break-inside: auto; }
  .cyclokit-panel .slider input[type="number"] { display: block; border: 0; } }
@container (max-width: 420px) { .cyclokit-panel .slider { grid-template-columns: 1fr 5.5em; }
  .cyclokit-panel .slider label { grid-column: 1 / 3; margin-top: .3em; } }`;

/** The nearest place of a slider to a value; it has its least and greatest value and the step between two. */
function onStep(value, { least, most, step }) {
  const bounded = Math.min(Math.max(value, least), most);
  return Number(Math.min(least + Math.round((bounded - least) / step) * step, most).toFixed(9));
}

/** A slider with its name and a field for its number; `moved` is called when the reader has moved it. */
function sliderOf(told, place, moved) {
  const slider = {
    ...told,
    set(value) {
      slider.value = value;
      range.value = value;
      if (document.activeElement !== field || Number(field.value) !== value) field.value = slider.text();
    },
    text: () => Number(slider.value).toFixed(Math.max(told.decimals, (String(slider.value).split(".")[1] ?? "").length)),
  };
  const { least: min, most: max, step } = told;
  const name = make("span", {}, told.label);
  const range = make("input", { type: "range", min, max, step, "aria-label": told.label, on: {
    input: () => moved({ [told.name]: onStep(Number(range.value), told) }),
  } });
  const field = make("input", { type: "number", min, max, step: "any", "aria-label": told.label + PANEL_WORDS.field, on: {
    change: () => {
      const value = Number(field.value);
      const fits = field.value !== "" && value >= min && value <= max && !(told.whole && !Number.isInteger(value));
      wrong.textContent = fits ? "" : PANEL_WORDS.range(told);
      if (fits) moved({ [told.name]: value });
      else field.value = slider.text();
    },
  } });
  const wrong = make("p", { class: "wrong", role: "alert" });
  place.append(make("div", { class: "slider" }, make("label", {}, name), range, field), wrong);
  return slider;
}

/** Sliders in a panel that Python has left in the page; what is done when Python has answered, and when it has gone. */
function mountPanel(model, host, move) {
  const part = (name) => host.querySelector(`[data-panel="${name}"]`);
  const fields = make("fieldset");
  const sliders = model.get("_sliders").map((told) => sliderOf(told, fields, move));
  fields.append(make("button", { type: "button", on: { click: () => move(model.get("_start")) } }, PANEL_WORDS.reset));
  part("sliders").replaceChildren(make("style", {}, PANEL_STYLE), fields);
  host.addEventListener("keydown", (event) => {
    if (event.key === "Escape") leave(host);
    if (event.key !== "Escape" && !event.ctrlKey && !event.metaKey) event.stopPropagation();
  });
  const two = model.get("_map_moves").map((name) => sliders.find((slider) => slider.name === name));
  for (const slider of sliders) slider.set(model.get("_values")[slider.name]);
  const map = two.length ? mountMap(part("map"), model.get("_map"), two, move) : null;
  const drawn = {};
  const paint = themed(host);
  new IntersectionObserver(paint).observe(host);

  function fresh(name, put) { // only what is another one
    const now = model.get(name);
    if (drawn[name] !== now) put(now);
    drawn[name] = now;
  }

  return {
    place(values) {
      for (const slider of sliders) slider.set(values[slider.name]);
      map?.place();
    },
    answered() {
      fresh("_svg", (svg) => {
        const stage = part("stage").querySelector("[data-cyclokit-stage]");
        if (!stage) {
          playStills();
          putStill(part("stage").querySelector("[data-cyclokit-still]"), svg);
        } else if ("live" in stage.dataset) stage.dispatchEvent(new CustomEvent("cyclokit-scene", { detail: svg }));
        else stage.querySelector("img").src = `data:image/svg+xml,${encodeURIComponent(svg)}`;
      });
      fresh("_map", (svg) => map?.redraw(svg));
      for (const name of ["verdict", "rows", "code"]) fresh(`_${name}`, (text) => { part(name).innerHTML = text; });
      map?.tell(model.get("_sound"));
    },
    sleep(asleep) {
      fields.disabled = asleep;
      part("asleep").hidden = !asleep;
    },
  };
}

export default {
  initialize({ model }) {
    const panels = new Map(); // an output may be shown twice
    let values = model.get("_values"), asked = model.get("_heard"), waits = false, asleep = false;

    function move(some) {
      if (asleep) return;
      values = { ...values, ...some };
      for (const panel of panels.values()) panel.place(values);
      if (asked > model.get("_heard")) waits = true; // one question on its way, the latest after it
      else ask();
    }
    function ask() {
      waits = false;
      asked = Math.max(asked, model.get("_heard")) + 1;
      try { model.send({ values, number: asked }); } catch { sleep(true); } // the kernel has gone
    }
    function sleep(wanted) {
      asleep = wanted;
      for (const panel of panels.values()) panel.sleep(asleep);
    }
    function answered() {
      if (asleep) sleep(false);
      const heard = model.get("_heard") >= asked;
      if (heard && waits) ask();
      else if (heard) values = model.get("_values"); // otherwise the reader's hand is ahead of Python
      for (const panel of panels.values()) { panel.place(values); panel.answered(); }
    }
    function look() {
      for (const host of document.querySelectorAll(`[data-cyclokit-panel="${model.get("_name")}"]`)) {
        if (panels.has(host)) continue;
        host.classList.add("cyclokit-panel");
        const panel = mountPanel(model, host, move);
        panels.set(host, panel);
        panel.place(values);
        panel.answered();
        panel.sleep(asleep);
      }
    }

    const arrivals = new MutationObserver((records) => {
      if (records.some((one) => [...one.addedNodes].some((node) => node.nodeType === Node.ELEMENT_NODE))) look();
    });
    arrivals.observe(document.body, { childList: true, subtree: true });
    model.on("change", answered);
    model.on("comm_live_update", () => { // the kernel went, or came back: whoever answers is there
      sleep(true);
      ask();
    });
    look();
    return () => {
      arrivals.disconnect();
      for (const panel of panels.values()) panel.sleep(true);
    };
  },
};
