// drawing: a frame only when something changes, in full quality once it stands still.
let pending = false, before = 0, held = false, settle = 0, lost = false;
function wake() {
  if (!pending) { pending = true; requestAnimationFrame(frame); }
}
function frame(time) {
  pending = false;
  const moves = viewer.ccall("viewer_moves", "number", [], []) === 1;
  if (moves) call("tick", before ? Math.min(0.1, (time - before) / 1000) : 0);
  before = moves ? time : 0;
  state = told("now");
  if (state.rung !== shown_rung) show_rung();
  show_now();
  if (!lost) draw(moves || held);
  if (moves) wake();
  clearTimeout(settle);
  // The finish of a standing picture is not worth holding up a finger for.
  if (held && !moves) settle = setTimeout(() => { held = false; wake(); }, 160);
}
function draw(moving) {
  const canvas = $("picture"), box = $("stage").getBoundingClientRect(), density = Math.min(window.devicePixelRatio || 1, 2.5);
  const width = Math.max(1, Math.round(box.width * density)), height = Math.max(1, Math.round(box.height * density));
  if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
  const answer = $("answer").getBoundingClientRect();
  const comparing = state.stages > 0;
  // Words cover the top left; the figure flies below or beside them.
  const words = (comparing ? Math.max(...[...$("panes").querySelectorAll(".pane > *")].map((line) => line.getBoundingClientRect().bottom)) : answer.bottom) - box.top;
  const top = comparing ? (box.width > 560 ? 0.5 : 0.9) * words : box.width > 560 ? 40 : Math.min(words, 0.34 * box.height);
  const right = comparing ? box.width : Math.max(...["lead", "wall", "turn_line"].map((id) => width_of($(id)))) + 20;
  const problem = call("draw", width, height, density, top * density, (comparing ? 28 : 22) * density, right * density, words * density, moving ? 1 : 0);
  if (problem) throw new Error(problem);
}
function width_of(element) {
  const range = document.createRange();
  range.selectNodeContents(element);
  return range.getBoundingClientRect().width;
}
