// start
async function program() {
  const text = $("code").textContent, binary = atob(text.trim());
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; ++i) bytes[i] = binary.charCodeAt(i);
  mark("decoded");
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  const response = new Response(stream, {headers: {"content-type": "application/wasm"}});
  // the viewer's own script waits for ever for a program that does not start: the reason ends the waiting
  let fail;
  const failed = new Promise((_, reject) => { fail = reject; });
  const instantiate = (imports, receive) => {
    WebAssembly.instantiateStreaming(response, imports).then((made) => receive(made.instance)).catch(fail);
    return {};
  };
  return {instantiate, failed, onAbort: (why) => fail(new Error(`the program stopped: ${why}`))};
}
// The program cannot survive text that is no JSON, nor a number that is too large: the browser reads it first.
function take_flights(text) {
  if (!text) return "";
  let flights;
  try { flights = JSON.stringify(JSON.parse(text)); } catch { return "flights: is not valid JSON"; }
  return call("take_flights", flights);
}
async function start() {
  mark("script");
  if (!("WebGL2RenderingContext" in window)) throw new Error("this browser draws no WebGL 2");
  if (!("DecompressionStream" in window)) throw new Error("this browser is older than the page needs");
  const fonts = Promise.all(["500", "700", "800"].map((weight) => document.fonts.load(`${weight} 44px HalfturnInter`)));
  const {instantiate, failed, onAbort} = await program();
  const made = await Promise.race([make_viewer({instantiateWasm: instantiate, onAbort, canvas: $("picture")}), failed]);
  mark("program");
  await fonts;
  mark("fonts");
  viewer = made;
  const refused = call("open", $("plan").textContent) || call("use_canvas", "#picture");
  if (refused) throw new Error(refused);
  mark("opened");
  flights_refused = take_flights($("flights").textContent.trim());
  climb = told("climb");
  state = told("now");
  $("athlete").value = climb.athlete;
  show_tabs();
  show_climb();
  document.documentElement.classList.add("live");
  $("viewer").hidden = false;
  choose_theme(matchMedia("(prefers-color-scheme: dark)").matches ? 1 : 0);
  state = told("now");
  open_tab("climb");
  show_gates();
  frame(performance.now());
  mark("first frame");
  // Two frames on it has been put on the screen.
  requestAnimationFrame(() => requestAnimationFrame(() => mark("shown")));
  $("to_viewer").hidden = false;
  new ResizeObserver(() => { keep_stages_wide(); shown_rung = -1; wake(); }).observe(stage);
  // For whoever wants to know what is shown, for instance a test.
  window.halfturn = {climb, state: () => state, gates: () => gates, orientation: () => told("orientation"), notes: () => told("notes"), compared: () => state.stages > 0 ? told("compared") : null};
}
start().catch((error) => {
  // The text and the pictures below stand for themselves.
  document.documentElement.classList.remove("live");
  $("viewer").hidden = true;
  $("why_text").hidden = false;
  $("why_text").textContent = `The stage cannot be drawn here (${error.message}); this is the climb as text and pictures.`;
  viewer = null;
});
