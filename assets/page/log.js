// attempts stay on the device; a page opened from a file may not be allowed to keep them, then they live
// until it closes. Other pages on the device keep theirs on the same shelf: it is read again before anything is
// written, and what was taken back stays away by its id.
const shelf = "halfturn-attempts", undone_shelf = "halfturn-attempts-undone";
let attempts = [], undone = [], tapped = null, attempts_refused = "", not_kept = false;
const file_of = (list) => JSON.stringify({format: "halfturn-attempts", version: 1, attempts: list}, null, 1) + "\n";
const new_id = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const athlete_now = () => $("athlete").value.trim();
function list_on(key) {
  let text = null;
  try {
    text = localStorage.getItem(key);
    const list = JSON.parse(text);
    if (list === null || Array.isArray(list)) return list || [];
  } catch { /* no shelf here, or something else lies on it */ }
  // what nobody can read is put aside, not written over
  try { if (text) localStorage.setItem(key + "-unreadable", text); } catch { /* nowhere to put it */ }
  return [];
}
function take_from_shelf() {
  const gone = new Set([...undone, ...list_on(undone_shelf)]), by_id = new Map();
  for (const attempt of [...list_on(shelf), ...attempts]) {
    if (attempt && attempt.id && !gone.has(attempt.id)) by_id.set(attempt.id, attempt);
  }
  undone = [...gone];
  attempts = [...by_id.values()].sort((a, b) => String(a.time) < String(b.time) ? -1 : String(a.time) > String(b.time) ? 1 : 0);
}
take_from_shelf();
function keep_attempts() {
  take_from_shelf();
  try {
    localStorage.setItem(undone_shelf, JSON.stringify(undone));
    localStorage.setItem(shelf, JSON.stringify(attempts));
    not_kept = false;
  } catch { not_kept = true; }
  show_gates();
  show_log();
}
window.addEventListener("storage", (event) => {
  if (!viewer || (event.key !== shelf && event.key !== undone_shelf)) return;
  take_from_shelf();
  show_gates();
  show_log();
});
// the last attempt of this athlete on a rung of this page: what "take back" takes
function last_here() {
  const is_here = (attempt) => climb.rungs.some((rung) => Object.entries(rung.key).every(([name, value]) => attempt[name] === value));
  return attempts.findLast((attempt) => attempt.athlete === athlete_now() && is_here(attempt));
}
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
  if (not_kept && attempts.length) said.push("This page cannot keep them when it closes: save them as a file.");
  $("logged").textContent = said.join(" ");
  $("undo").disabled = !last && !tapped;
  $("save").disabled = attempts.length === 0;
}
$("undo").addEventListener("click", () => {
  if (tapped) { tapped = null; show_log(); return; }
  take_from_shelf();
  const last = last_here();
  if (last) undone.push(last.id);
  keep_attempts();
});
$("save").addEventListener("click", () => {
  const link = make("a", {href: URL.createObjectURL(new Blob([file_of(attempts)], {type: "application/json"})), download: `attempts-${new Date().toISOString().slice(0, 10)}.json`});
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
});
$("athlete").addEventListener("input", () => { tapped = null; show_gates(); show_log(); });
