// attempts by thumb; where they are kept is in shelf.js
let tapped = null, attempts_refused = "";
const file_of = (list) => JSON.stringify({format: "halfturn-attempts", version: 1, attempts: list}, null, 1) + "\n";
const athlete_now = () => $("athlete").value.trim();
const last_here = () => last_attempt(athlete_now(), climb.rungs);
function show_attempts() {
  show_gates();
  show_log();
}
function keep_attempts() {
  put_on_shelf();
  show_attempts();
}
take_from_shelf();
on_shelf_change(() => { if (viewer) show_attempts(); });
function show_gates() {
  const answer = told("gates", file_of(attempts.filter((attempt) => attempt.athlete === athlete_now())));
  gates = answer.gates;
  attempts_refused = answer.refused;
  for (const button of rung_buttons()) {
    const gate = gates[Number(button.dataset.rung)];
    show_pips(button.querySelector(".pips"), gate);
    button.classList.toggle("passed", gate.passed);
  }
  wake();
}
function log(outcome, error_deg) {
  const attempt = {id: new_id(), athlete: athlete_now(), time: new Date().toISOString(), ...climb.rungs[shown_rung].key, outcome};
  if (error_deg !== null) Object.assign(attempt, {heading_error_deg: error_deg, heading_by: "eye"});
  attempts.push(attempt);
  tapped = null;
  keep_attempts();
}
function show_log() {
  if (shown_rung < 0) return;
  if (tapped && tapped.rung !== shown_rung) tapped = null;
  const rung = climb.rungs[shown_rung], gate = gates[shown_rung];
  $("log_rung").textContent = `${label(shown_rung)}  ${rung.title}`;
  show_pips($("log_pips"), gate);
  $("log_reason").textContent = tapped ? `${tapped.outcome}: where did the chest point at first contact?` : gate && gate.attempts ? gate.reason : "How did it end?";
  const taps = [];
  const tap = (text, does) => {
    const button = make("button", {type: "button", textContent: text});
    button.dataset.tap = text;
    button.addEventListener("click", does);
    taps.push(button);
  };
  if (tapped) {
    const outcome = tapped.outcome;
    for (const deg of [-45, 15, -30, 30, -15, 45]) tap(`${Math.abs(deg)} ${deg < 0 ? "short" : "long"}`, () => log(outcome, deg));
    tap("on plan", () => log(outcome, 0));
    tap("not seen", () => log(outcome, null));
  } else {
    for (const outcome of climb.outcomes) {
      tap(outcome.word, () => {
        if (!athlete_now()) { $("logged").textContent = "Whose attempt? Give a name first."; $("athlete").focus(); return; }
        if (!outcome.needs_heading || !rung.has_heading) return log(outcome.word, null);
        tapped = {outcome: outcome.word, rung: shown_rung};
        show_log();
      });
    }
  }
  $("taps").replaceChildren(...taps);
  const crashes = gates.reduce((sum, one) => sum + one.crashes, 0);
  const last = last_here(), said = [];
  if (attempts.length) said.push(`${attempts.length} logged${last ? `; the last of ${last.athlete} here: ${last.outcome}` : ""}. Crashes ${crashes} (the aim is 0).`);
  if (attempts_refused) said.push(`Attempts of ${athlete_now()} cannot be read and are not counted (${attempts_refused}).`);
  if (not_kept && attempts.length) said.push(not_kept_words);
  $("logged").textContent = said.join(" ");
  $("undo").disabled = !last && !tapped;
  $("save").disabled = attempts.length === 0;
}
$("undo").addEventListener("click", () => {
  if (tapped) { tapped = null; show_log(); return; }
  take_back(athlete_now(), climb.rungs);
  keep_attempts();
});
$("save").addEventListener("click", () => {
  const link = make("a", {href: URL.createObjectURL(new Blob([file_of(attempts)], {type: "application/json"})), download: `attempts-${new Date().toISOString().slice(0, 10)}.json`});
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
});
$("athlete").addEventListener("input", () => { tapped = null; show_gates(); show_log(); });
