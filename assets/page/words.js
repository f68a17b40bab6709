// words
function show_badge(element, side) {
  element.className = "badge " + side;
  element.textContent = side_letter[side];
}
function show_rung() {
  shown_rung = state.rung;
  const rung = climb.rungs[shown_rung], answer = rung.answer;
  if (state.stages === 0) show_answer(answer.lead, answer.wall);
  $("turn").textContent = answer.turn;
  // The feet only where there is room for them.
  $("landing").textContent = stage.clientWidth < 520 ? answer.landing.split(", ")[0] : answer.landing;
  const side = rung.key.side;
  show_badge($("badge"), side);
  show_badge($("now_badge"), side);
  for (const button of rung_buttons()) {
    const now = Number(button.dataset.rung) === shown_rung;
    button.setAttribute("aria-current", now);
    if (now) bring_into_middle(button);
  }
  $("notice").hidden = !state.notice && !rung.short_of_air;
  $("notice").textContent = state.notice || rung.short_of_air;
  show_arc();
  show_compared();
  if (tab === "log") show_log();
  if (tab === "more") show_more();
}
const rung_buttons = () => $("climb").querySelectorAll(".rung");
function bring_into_middle(button) {
  const list = $("climb"), own = button.getBoundingClientRect(), all = list.getBoundingClientRect();
  list.scrollTop += own.top + own.height / 2 - all.top - all.height / 2;
}
function show_answer(lead, wall) {
  $("lead").textContent = lead;
  $("wall").textContent = wall;
  $("wall").className = wall.length > 26 ? "longer" : wall.length > 12 ? "long" : "";
}
// Who made the flights that are seen: an estimate must not look like a fact.
let flights_refused = "";
function show_maker(maker) {
  const made = state.stages > 0 ? told("compared").stages.map((pane) => pane.made) : [maker];
  const words = [...new Set(made)].join("; ");
  $("maker").textContent = flights_refused ? `${words}; the simulated flights of this page cannot be read` : words;
}
function show_now() {
  $("words").textContent = state.words;
  $("frame").textContent = `${state.frame} of ${state.last_frame}`;
  $("rate").textContent = state.rate_words;
  $("camera").textContent = "from " + cameras[state.camera];
  $("play").setAttribute("aria-label", state.playing ? "pause" : "play");
  $("play_shape").setAttribute("d", state.playing ? "M14 4h7v24h-7zM27 4h7v24h-7z" : "M16 3v26l20-13z");
  show_thumb();
}

// A body from above with the chest towards `turn`, start up.
function dial_parts(turn, r) {
  const k = r / 26, at = (deg, far) => [-far * k * Math.sin(deg * Math.PI / 180), -far * k * Math.cos(deg * Math.PI / 180)];
  const [lx, ly] = at(turn + 90, 12), [rx, ry] = at(turn - 90, 12), from = at(turn - 26, 25), to = at(turn + 26, 25);
  return [shape("path", {d: `M0,0 L${from} A${25 * k},${25 * k} 0 0 0 ${to} Z`, fill: "var(--front)", stroke: "var(--line)", "stroke-width": 1.5}),
    shape("path", {d: `M${lx},${ly}L${rx},${ry}`, stroke: "var(--body)", "stroke-width": 9 * k}),
    shape("circle", {r: 7 * k, fill: "var(--body)", stroke: "var(--line)", "stroke-width": 1.5}),
    shape("circle", {cx: lx, cy: ly, r: 5 * k, fill: "var(--left)", stroke: "var(--line)", "stroke-width": 1.5}),
    shape("rect", {x: rx - 5 * k, y: ry - 5 * k, width: 10 * k, height: 10 * k, fill: "var(--right)", stroke: "var(--line)", "stroke-width": 1.5, transform: `rotate(${-turn} ${rx} ${ry})`})];
}
function dial(turn) {
  return shape("svg", {viewBox: "-32 -37 64 69", class: "dial", "aria-hidden": "true"}, shape("circle", {r: 27, fill: "var(--mat)", stroke: "currentColor", "stroke-width": 2}),
    shape("path", {d: "M-6,-37 6,-37 0,-28z", fill: "currentColor"}), ...dial_parts(turn, 24));
}
function show_climb() {
  const list = [];
  for (let k = climb.rungs.length - 1; k >= 0; --k) {
    const rung = climb.rungs[k];
    const button = make("button", {type: "button", className: "rung"}, make("span", {className: "peg", textContent: label(k)}), dial(rung.turn_deg),
      make("span", {className: "names"}, make("b", {textContent: rung.title}), make("span", {textContent: rung.answer.wall})), make("span", {className: "pips"}));
    button.dataset.rung = k;
    button.addEventListener("click", () => ask("choose_rung", k));
    list.push(button);
  }
  $("climb").replaceChildren(...list, make("p", {className: "caution", textContent: climb.caution}));
}
function show_pips(element, gate) {
  const pips = [];
  for (let i = 0; i < (gate ? gate.needed : 0); ++i) pips.push(make("span", {className: gate.passed || i < gate.controlled ? "pip on" : "pip"}));
  element.replaceChildren(...pips);
  element.setAttribute("aria-label", gate ? (gate.passed ? "passed" : `${gate.controlled} of ${gate.needed}`) : "");
}
