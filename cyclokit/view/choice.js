// The choice: buttons over several stages of which one is seen. Whoever chooses another goes on at the same angle.

const CHOICE_STYLE = `${ground(".cyclokit-choice")}
.cyclokit-choice [hidden] { display: none; }
.cyclokit-choice > .row { display: flex; flex-wrap: wrap; gap: .4em; align-items: center; margin: 0 0 .5em; }`;

function mountChoice(host) {
  const name = host.dataset.cyclokitChoice;
  const options = [...host.querySelectorAll("[data-choice]")];
  const buttons = options.map((option) => make("button", { type: "button", on: { click: () => choose(option) } },
    option.dataset.choice));
  const row = make("div", { class: "row", role: "group", "aria-label": name }, make("span", {}, `${name}:`), ...buttons);
  host.classList.add("cyclokit-choice");
  host.prepend(make("style", {}, CHOICE_STYLE), row);

  const seen = () => options.find((option) => !option.hidden);
  const part = (option, what) => option.querySelector(what);
  function tell() {
    options.forEach((option, place) => buttons[place].setAttribute("aria-pressed", !option.hidden));
  }
  function choose(option) {
    const before = seen();
    if (option === before) return;
    const [from, to] = [before, option].map((one) => part(one, '.controls input[type="range"]'));
    const play = part(before, "button.play");
    const plays = play.textContent === "Pause";
    if (plays) play.click();
    before.hidden = true;
    option.hidden = false;
    to.value = from.value;
    to.dispatchEvent(new Event("input"));
    to.dispatchEvent(new Event("change"));
    if (plays) part(option, "button.play").click();
    tell();
  }

  const paint = themed(host);
  new IntersectionObserver(paint).observe(host);
  paint();
  tell();
}

/** Bring every choice of a page to life; its stages are alive. */
function playChoices() {
  for (const host of document.querySelectorAll("[data-cyclokit-choice]:not([data-live])")) {
    host.dataset.live = "";
    mountChoice(host);
  }
}
