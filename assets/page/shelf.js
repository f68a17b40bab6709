// Attempts stay on the device; a page opened from a file may not be allowed to keep them, then they live until it
// closes. Other pages on the device keep theirs on the same shelf: it is read again before anything is written, and
// what was taken back stays away by its id. The page with a stage and the one with still pictures both read this.
const shelf = "halfturn-attempts", undone_shelf = "halfturn-attempts-undone";
let attempts = [], undone = [], not_kept = false;
const new_id = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
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
function put_on_shelf() {
  take_from_shelf();
  try {
    localStorage.setItem(undone_shelf, JSON.stringify(undone));
    localStorage.setItem(shelf, JSON.stringify(attempts));
    not_kept = false;
  } catch { not_kept = true; }
}
// after another page has changed the shelf
function on_shelf_change(show) {
  window.addEventListener("storage", (event) => {
    if (event.key === shelf || event.key === undone_shelf) { take_from_shelf(); show(); }
  });
}
// the last attempt of an athlete on one of these rungs: what is taken back
function last_attempt(athlete, rungs) {
  const is_here = (attempt) => rungs.some((rung) => Object.entries(rung.key).every(([name, value]) => attempt[name] === value));
  return attempts.findLast((attempt) => attempt.athlete === athlete && is_here(attempt));
}
function take_back(athlete, rungs) {
  take_from_shelf();
  const last = last_attempt(athlete, rungs);
  if (last) undone.push(last.id);
}
const not_kept_words = "This page cannot keep them when it closes: save them as a file.";
