// what else there is to read, and to choose
const settings = {theme: 0, text: false};
function show_more() {
  if (shown_rung < 0) return;
  const notes = told("notes"), rung = climb.rungs[shown_rung], parts = [];
  const paragraph = (text, className = "") => parts.push(make("p", {textContent: text, className}));
  parts.push(make("b", {textContent: `${label(shown_rung)}  ${rung.title}`}));
  paragraph(notes.floor_walk);
  paragraph("start: " + notes.start, "dim");
  if (rung.cue) paragraph(rung.cue);
  paragraph(`air needed about ${notes.air_time_needed_s.toFixed(2)} s (estimate); the flight is ${told("arc").maker}`, "dim");
  if (flights_refused) paragraph(`The simulated flights of this page cannot be read (${flights_refused}); all are drawn.`);
  for (const warning of rung.warnings) paragraph("note: " + warning, "dim");
  parts.push(make("h2", {textContent: "to finish"}), make("ul", {}, ...notes.finish.map((line) => make("li", {textContent: `${line.part}: ${line.text}`}))));
  if (notes.finish_source) paragraph(notes.finish_source, "dim");
  parts.push(make("h2", {textContent: "this page"}));
  const row = make("div", {className: "row"});
  themes.forEach((name, i) => {
    const button = make("button", {type: "button", textContent: name});
    button.setAttribute("aria-pressed", settings.theme === i);
    button.addEventListener("click", () => { choose_theme(i); show_more(); });
    row.append(button);
  });
  const text = make("button", {type: "button", textContent: "as text and pictures"});
  text.addEventListener("click", () => document.documentElement.classList.add("reading-text"));
  parts.push(row, make("div", {className: "row"}, text));
  paragraph(climb.caution, "caution");
  paragraph(`${climb.title}${climb.athlete ? ", " + climb.athlete : ""}`, "dim");
  $("more").replaceChildren(...parts);
}
function choose_theme(theme) {
  settings.theme = theme;
  document.documentElement.classList.remove(...themes);
  document.documentElement.classList.add(themes[theme]);
  ask("choose_settings", theme, matchMedia("(prefers-reduced-motion: reduce)").matches ? 1 : 0);
}
$("to_viewer").addEventListener("click", () => { document.documentElement.classList.remove("reading-text"); wake(); });
