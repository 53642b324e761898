// What every moving picture of a page shares: elements, numbers, colours for light and dark pages. It stands
// before the script of the picture itself, in the same text.

// the colours of palette.py: the picture is drawn for a light page, and these are their likes on a dark one
const ON_DARK = {
  "#0072b2": "#56b4e9", "#c05200": "#f0902c", "#005f33": "#3ce8a4", "#8c1a78": "#ee5fc4", "#707070": "#d4d4d4",
  "#6a35d0": "#8f7bff",
};

function repaint(host) {
  return Object.entries(ON_DARK)
    .flatMap(([from, to]) => ["stroke", "fill"].map((what) =>
      `${host}[data-theme="dark"] svg [${what}="${from}"] { ${what}: ${to}; }`))
    .join("\n");
}

// a thumb with three lines across, as handles have them that are pulled sideways
const GRIP = "background: repeating-linear-gradient(90deg, var(--page) 0 2px, var(--focus) 2px 5px) 50% / 12px 10px"
  + " no-repeat, var(--focus);";

/** Rules for a host of that class: its colours, its words, its focus, its picture on a light and a dark page; on paper
 * there is nothing to press, and no code beside it is cut. */
const ground = (host) => `
${host} { --ink: #1f1f1f; --page: #fff; --line: #767676; --focus: #0072B2; color: var(--ink); font: 1em/1.4 system-ui, sans-serif;
  margin: 0; padding: 4px; }
@media screen { ${host}[data-theme="dark"] { --ink: #f0f0f0; --page: #111; --line: #9a9a9a; --focus: #56B4E9; } }
@media print { ${host} :is(button, input, details) { display: none; } ${host} { break-inside: avoid; }
  .highlight pre, .jp-OutputArea pre { white-space: pre-wrap; overflow-wrap: anywhere; } }
${host}:focus-visible, ${host} :focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; }
${host} svg { display: block; width: 100%; max-height: 75vh; }
${host} output { display: block; font-variant-numeric: tabular-nums; min-height: 1.5em; margin: 0 0 .5em; }
${host} figcaption { margin: 0; font-style: italic; font-size: .95em; }
${host} button { font: inherit; color: inherit; background: transparent; border: 1px solid var(--line);
  border-radius: .4em; padding: .15em .6em; min-width: 2.6em; min-height: 2em; cursor: pointer; }
${host} button[aria-pressed="true"] { background: var(--ink); color: var(--page); border-color: var(--ink); }
${host} input[type="range"] { width: 100%; height: 2em; min-height: 28px; margin: 0; background: transparent; cursor: grab;
  appearance: none; border-radius: 14px; }
${["-webkit-slider-runnable", "-moz-range"].map((its) => `${host} input[type="range"]::${its}-track { height: 6px;
  border-radius: 3px; background: var(--line); }`).join("\n")}
${["-webkit-slider", "-moz-range"].map((its) => `${host} input[type="range"]::${its}-thumb { appearance: none;
  box-sizing: border-box; width: 26px; height: 26px; border: 2px solid var(--page); border-radius: 50%; ${GRIP} }`).join("\n")}
${host} input[type="range"]::-webkit-slider-thumb { margin-top: -10px; }
${host} input[type="range"]:active { cursor: grabbing; }
${host} input[type="range"]:disabled { opacity: .5; cursor: default; }
@media screen { ${repaint(host)} }`; // paper is white

function make(tag, options = {}, ...children) {
  const { on = {}, ...rest } = options;
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(rest)) made.setAttribute(name, value);
  for (const [event, act] of Object.entries(on)) made.addEventListener(event, act);
  // JupyterLab looks for this on the focused element alone
  if (["button", "input", "summary"].includes(tag) || "tabindex" in rest) made.dataset.lmSuppressShortcuts = "true";
  made.append(...children);
  return made;
}

/** An SVG's text as an element of this page, with the facts that Python has put into it. */
function parsed(text) {
  const svg = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
  svg.querySelector("style")?.remove(); // a still's own, for a dark page
  return { svg, facts: JSON.parse(svg.dataset.facts) };
}

const number = (value, decimals) => value.toFixed(decimals).replace(/^-(?=[0.]*$)/, "").replace("-", "−");

/** From a moving picture to what holds it: a JupyterLab cell takes the keys from here. */
function leave(host) {
  const outer = host.parentElement.closest("[tabindex]");
  document.activeElement.blur();
  outer?.focus({ preventScroll: true });
}

/** Whether the page behind an element is dark: by the first background that is not see-through. */
function onDark(element) {
  for (let here = element; here; here = here.parentElement) {
    const [red, green, blue, alpha = 1] = getComputedStyle(here).backgroundColor.match(/[\d.]+/g).map(Number);
    if (alpha > 0.5) return 0.2126 * red + 0.7152 * green + 0.0722 * blue < 110;
  }
  const scheme = getComputedStyle(document.documentElement).colorScheme;
  return scheme.includes("dark") && window.matchMedia("(prefers-color-scheme: dark)").matches;
}

/** Keep a host's theme that of the page behind it, as long as the page has a use for the host; look at once by what
 * comes back. */
function themed(host) {
  const kept = new WeakRef(host); // a host that has gone leaves nothing behind
  const scheme = window.matchMedia("(prefers-color-scheme: dark)");
  const theme = new MutationObserver(paint);
  function paint() {
    const here = kept.deref();
    if (here?.isConnected) here.dataset.theme = onDark(here) ? "dark" : "light";
    if (here) return;
    theme.disconnect();
    scheme.removeEventListener("change", paint);
  }
  scheme.addEventListener("change", paint);
  for (const root of [document.body, document.documentElement]) theme.observe(root, { attributes: true });
  return paint;
}

