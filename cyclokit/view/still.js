// A picture that doesn't play, but follows its page's background as those do that play.

const STILL_STYLE = `${ground(".cyclokit-still")}
.cyclokit-still { max-width: 544px; }
.cyclokit-still[data-theme="dark"] svg text { fill: var(--ink); stroke: var(--page); }`;

/** Another picture in its host, with its words. */
function putStill(host, text) {
  const { svg } = parsed(text);
  const title = svg.querySelector("title");
  const words = title.textContent;
  title.remove(); // it would hang at the pointer
  svg.setAttribute("aria-label", words);
  host.replaceChildren(make("style", {}, STILL_STYLE), svg, make("figcaption", {}, words));
}

/** Have every still picture of a page follow it. */
function playStills() {
  for (const host of document.querySelectorAll("[data-cyclokit-still]:not([data-live])")) {
    host.dataset.live = "";
    host.classList.add("cyclokit-still");
    putStill(host, decodeURIComponent(host.querySelector("img").src.replace(/^[^,]*,/, "")));
    const paint = themed(host);
    new IntersectionObserver(paint).observe(host);
    paint();
  }
}
