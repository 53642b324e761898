// Forces on a reducer's discs: arrows whose lengths go with the crank. Python has drawn them, and has told what a pin's
// force is over one crank turn and what each disc carries; the stage carries rollers' and bearing's arrows along.

/** A value of a table over one round, on a straight line between two that Python has told. */
function onRound(table, share) {
  const at = within(share, 1) * table.length;
  const before = Math.floor(at) % table.length;
  return table[before] + (at - Math.floor(at)) * (table[(before + 1) % table.length] - table[before]);
}

/** An arrow from (0, 0) along +x; the same as `arrow` in forces.py. */
function arrowOf(length, unit) {
  const head = Math.min(2 * unit, length);
  const [long, point, wide] = [length, head, 0.6 * head].map((each) => each.toFixed(3));
  return `M0 0h${long}m-${point} -${wide}l${point} ${wide}l-${point} ${wide}`;
}

function mountForces(stage) {
  const picture = stage.querySelector(".picture svg");
  const { forces: told, pins } = JSON.parse(picture.dataset.facts);
  const crank = picture.querySelector('[data-part="crank"]');
  const key = picture.querySelector("[data-forces-key]");
  const [circle, radius] = told.circle;
  const [rollers, first, rate] = told.rollers;
  const discs = [...picture.querySelectorAll('[data-layer^="forces on "]')].map((layer) => ({
    layer,
    pins: [...layer.querySelectorAll('[data-force^="pin "]')],
    output: [...layer.querySelectorAll('[data-force^="output "]')],
    bearing: layer.querySelector('[data-force="bearing"]'),
  }));

  function draw() {
    const degrees = -Number(/rotate\((.*)\)/.exec(crank.getAttribute("transform"))[1]);
    const counts = discs.flatMap((disc, place) =>
      (disc.layer.getAttribute("display") === "none" ? [] : [drawOn(disc, place, degrees)]));
    key.setAttribute("visibility", counts.length ? "visible" : "hidden");
    const text = told.loaded.replace("{count}", counts.join(" and ")).replace("{pins}", pins);
    key.querySelector("[data-loaded]").textContent = text;
  }

  function drawOn(disc, place, degrees) { // and how many pins are loaded
    const ahead = degrees + (360 * place) / discs.length;
    const now = degrees / told.period;
    const share = onRound(told.share[place], now);
    let loaded = 0;
    disc.pins.forEach((element, pin) => {
      const at = ahead / 360 - pin / pins;
      const length = share * onRound(told.pin, at);
      loaded += length > 1e-6 ? 1 : 0;
      element.setAttribute("d", arrowOf(length, told.unit));
      element.setAttribute("transform", `rotate(${(-360 * pin) / pins})translate(${circle})` +
        `rotate(${-onRound(told.normal, at)})translate(${-radius})rotate(180)`);
    });
    disc.output.forEach((element, roller) => {
      const at = (first - degrees * rate) / 360 + roller / rollers - place / discs.length;
      element.setAttribute("d", arrowOf(share * onRound(told.output, at), told.unit));
    });
    const [along, across] = told.bearing[place].map((table) => onRound(table, now));
    disc.bearing.setAttribute("d", arrowOf(Math.hypot(along, across), told.unit));
    disc.bearing.setAttribute("transform", `rotate(${-Math.atan2(across, along) / DEGREE})`);
    return loaded;
  }

  const moved = new MutationObserver(draw);
  moved.observe(crank, { attributeFilter: ["transform"] });
  for (const { layer } of discs) moved.observe(layer, { attributeFilter: ["display"] });
  draw();
}

/** Let the forces of every stage of a page that is alive go with its crank. */
function playForces() {
  for (const stage of document.querySelectorAll("[data-cyclokit-stage][data-live]:not([data-forces])")) {
    if (!stage.querySelector("[data-forces-key]")) continue;
    stage.dataset.forces = "";
    mountForces(stage);
  }
}
