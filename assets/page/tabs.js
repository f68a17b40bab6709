// the row at the bottom and its pages
function show_tabs() {
  $("tabs").replaceChildren(...["climb", "compare", "log", "more"].map((name) => {
    const button = make("button", {type: "button", textContent: name});
    button.dataset.tab = name;
    button.addEventListener("click", () => open_tab(name));
    return button;
  }));
}
function open_tab(name) {
  tab = name;
  for (const button of $("tabs").children) button.setAttribute("aria-current", button.dataset.tab === name);
  for (const page of ["climb", "compare", "log", "more"]) $(page).hidden = page !== name;
  $("viewer").classList.toggle("reading", name === "log" || name === "more");
  $("panel").scrollTop = 0;
  if (name === "compare" && state.stages === 0) compare(3);
  if (name !== "compare" && state.stages > 0) compare(-1);
  if (name === "log") show_log();
  if (name === "more") show_more();
  shown_rung = -1;
  wake();
}
function compare(pairing) {
  ask("compare", pairing);
  shown_rung = -1;
}
// Three or four stages only where each is as wide as a figure needs: a tablet held across.
const least_pane_px = 160;
const most_stages_here = () => innerWidth > innerHeight && innerHeight >= 600 ? Math.min(4, Math.max(2, Math.floor(stage.clientWidth / least_pane_px))) : 2;
function keep_stages_wide() {
  state = told("now");
  while (state.stages > most_stages_here()) { call("add_stage", 0); state = told("now"); }
}
function add_stage(more) {
  ask("add_stage", more);
  shown_rung = -1;
}
function show_compared() {
  const compared = state.stages > 0 ? told("compared") : null;
  $("viewer").classList.toggle("comparing", compared !== null);
  $("panes").hidden = compared === null;
  if (!compared) return;
  show_answer(compared.lead, compared.wall);
  $("panes").replaceChildren(...compared.stages.map((pane) => make("div", {className: "pane"}, make("b", {className: "wall", textContent: pane.wall}), make("b", {textContent: pane.name}), make("span", {className: "dim", textContent: pane.words}))),
    make("span", {className: "seam", hidden: compared.stages.length !== 2, textContent: compared.same_wall ? "=" : "\u2260", title: compared.same_wall ? "same wall" : "other wall"}));
  const words = ["axis", "sides", "forms", "next"];
  const row = make("div", {className: "row"});
  for (const i of [3, 0, 1, 2]) {
    if (i === 2 && climb.rungs[shown_rung].forms < 2) continue;
    const button = make("button", {type: "button", textContent: pairings[i]});
    button.dataset.pair = words[i];
    button.setAttribute("aria-pressed", words[i] === compared.pairing);
    button.addEventListener("click", () => compare(i));
    row.append(button);
  }
  if (most_stages_here() > 2) {
    const count = compared.stages.length;
    for (const [text, more, possible] of [["one more stage", 1, count < most_stages_here()], ["one stage less", 0, count > 2]]) {
      const button = make("button", {type: "button", textContent: text, disabled: !possible});
      button.dataset.stages = more ? "more" : "less";
      button.addEventListener("click", () => add_stage(more));
      row.append(button);
    }
  }
  $("compare").replaceChildren(row, make("p", {textContent: (compared.same_wall ? "same wall; " : "other wall; ") + compared.differs}));
}
