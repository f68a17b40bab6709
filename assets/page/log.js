// attempts stay on the device; a page opened from a file may not be allowed to keep them, then they live
// until it closes
const shelf = "halfturn-attempts";
let attempts = [], tapped = null;
try { attempts = JSON.parse(localStorage.getItem(shelf)) || []; } catch { attempts = []; }
const file_of = (list) => JSON.stringify({format: "halfturn-attempts", version: 1, attempts: list}, null, 1) + "\n";
const new_id = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const athlete_now = () => $("athlete").value.trim();
function keep_attempts() {
  try { localStorage.setItem(shelf, JSON.stringify(attempts)); } catch { /* nowhere to keep them */ }
  show_gates();
  show_log();
}
function show_gates() {
  gates = told("gates", file_of(attempts.filter((attempt) => attempt.athlete === athlete_now())));
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
  const rung = climb.rungs[shown_rung], gate = gates[shown_rung];
  $("log_rung").textContent = `${label(shown_rung)}  ${rung.title}`;
  show_pips($("log_pips"), gate);
  $("log_reason").textContent = tapped ? `${tapped}: where did the chest point at first contact?` : gate && gate.attempts ? gate.reason : "How did it end?";
  const taps = [];
  const tap = (text, does) => {
    const button = make("button", {type: "button", textContent: text});
    button.dataset.tap = text;
    button.addEventListener("click", does);
    taps.push(button);
  };
  if (tapped) {
    const outcome = tapped;
    for (const deg of [-45, 15, -30, 30, -15, 45]) tap(`${Math.abs(deg)} ${deg < 0 ? "short" : "long"}`, () => log(outcome, deg));
    tap("on plan", () => log(outcome, 0));
    tap("not seen", () => log(outcome, null));
  } else {
    for (const outcome of climb.outcomes) {
      tap(outcome.word, () => {
        if (!athlete_now()) { $("logged").textContent = "Whose attempt? Give a name first."; $("athlete").focus(); return; }
        if (!outcome.needs_heading || !rung.has_heading) return log(outcome.word, null);
        tapped = outcome.word;
        show_log();
      });
    }
  }
  $("taps").replaceChildren(...taps);
  const crashes = gates.reduce((sum, one) => sum + one.crashes, 0);
  $("logged").textContent = attempts.length ? `${attempts.length} logged; the last: ${attempts.at(-1).outcome}. Crashes ${crashes} (the aim is 0).` : "";
  $("undo").disabled = attempts.length === 0 && !tapped;
  $("save").disabled = attempts.length === 0;
}
$("undo").addEventListener("click", () => {
  if (tapped) { tapped = null; show_log(); } else { attempts.pop(); keep_attempts(); }
});
$("save").addEventListener("click", () => {
  const link = make("a", {href: URL.createObjectURL(new Blob([file_of(attempts)], {type: "application/json"})), download: `attempts-${new Date().toISOString().slice(0, 10)}.json`});
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
});
$("athlete").addEventListener("input", () => { tapped = null; show_gates(); show_log(); });
