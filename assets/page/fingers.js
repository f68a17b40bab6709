// fingers on the stage: one scrubs, two orbit and zoom; a mouse orbits with its right button
const fingers = new Map();
let scrub_from = null;
const spread_of = () => {
  const [a, b] = [...fingers.values()];
  return {x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.max(20, Math.hypot(a.x - b.x, a.y - b.y))};
};
const stage = $("stage");
stage.addEventListener("pointerdown", (event) => {
  if (event.target.closest("button")) return;
  stage.setPointerCapture(event.pointerId);
  fingers.set(event.pointerId, {x: event.clientX, y: event.clientY, orbits: event.button === 2});
  scrub_from = fingers.size === 1 ? {x: event.clientX, share: state.share} : null;
});
stage.addEventListener("pointermove", (event) => {
  const finger = fingers.get(event.pointerId);
  if (!finger) return;
  const dx = event.clientX - finger.x, dy = event.clientY - finger.y;
  const before_move = fingers.size === 2 ? spread_of() : null;
  finger.x = event.clientX;
  finger.y = event.clientY;
  held = true;
  if (fingers.size === 2) {
    const after = spread_of();
    ask("move_camera", -0.012 * (after.x - before_move.x), 0.012 * (after.y - before_move.y), after.apart / before_move.apart, 0, 0);
  } else if (finger.orbits) {
    ask("move_camera", -0.008 * dx, 0.008 * dy, 1, 0, 0);
  } else if (scrub_from && Math.abs(event.clientX - scrub_from.x) > 4) {
    ask("seek", Math.min(1, Math.max(0, scrub_from.share + (event.clientX - scrub_from.x) / (0.8 * stage.clientWidth))));
  }
});
for (const end of ["pointerup", "pointercancel"]) {
  stage.addEventListener(end, (event) => {
    fingers.delete(event.pointerId);
    // The finger that stays does not jump into scrubbing.
    scrub_from = null;
  });
}
$("picture").addEventListener("webglcontextlost", (event) => { event.preventDefault(); lost = true; });
$("picture").addEventListener("webglcontextrestored", () => { lost = false; ask("forget_pictures"); });
stage.addEventListener("contextmenu", (event) => event.preventDefault());
stage.addEventListener("wheel", (event) => {
  event.preventDefault();
  held = true;
  ask("move_camera", 0, 0, Math.pow(1.1, -Math.sign(event.deltaY)), 0, 0);
}, {passive: false});

$("camera").addEventListener("click", () => ask("choose_camera", (state.camera + 1) % cameras.length));
$("back").addEventListener("click", () => ask("step", -1));
$("on").addEventListener("click", () => ask("step", 1));
$("play").addEventListener("click", () => ask("play", state.playing ? 0 : 1));
$("rate").addEventListener("click", () => ask("choose_rate", rates[(rates.findIndex((rate) => rate <= state.rate + 1e-9) + 1) % rates.length]));
addEventListener("keydown", (event) => {
  if (!viewer || event.target.tagName === "INPUT" || event.ctrlKey || event.metaKey || event.altKey) return;
  const does = {ArrowLeft: () => ask("step", -1), ArrowRight: () => ask("step", 1), ArrowUp: () => ask("choose_rung", shown_rung + 1), ArrowDown: () => ask("choose_rung", Math.max(0, shown_rung - 1))};
  if (event.key === " " && event.target.tagName !== "BUTTON") does[" "] = () => ask("play", state.playing ? 0 : 1);
  if (does[event.key]) { event.preventDefault(); does[event.key](); }
});
