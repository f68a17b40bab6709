"use strict";
// The page around the viewer: starts it, hands it touches, shows in words what it tells. Texts of the plan are put
// into the page as text only, so that no name can become markup.
(() => {
  const $ = (id) => document.getElementById(id);
  const mark = (name) => performance.mark("halfturn " + name);
  const make = (name, properties, ...children) => {
    const element = Object.assign(document.createElement(name), properties);
    element.append(...children);
    return element;
  };
  const shape = (name, attributes, ...children) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const key in attributes) element.setAttribute(key, attributes[key]);
    element.append(...children);
    return element;
  };
  const side_letter = {left: "L", right: "R"};
  const cameras = ["side", "front", "above", "eyes"], pairings = ["other axis", "other side", "other form", "next rung"];
  const rates = [1, 1 / 2, 1 / 4, 1 / 8, 1 / 16];
  const themes = ["light", "dark", "sunlight"];
  const label = (rung) => rung === 0 ? "B" : String(rung);

  let viewer, climb, gates = [], state, shown_rung = -1, tab = "climb";
  const call = (name, ...values) => {
    const types = values.map((value) => typeof value);
    return viewer.ccall("viewer_" + name, "string", types, values);
  };
  const told = (name, ...values) => JSON.parse(call(name, ...values));
  const ask = (name, ...values) => { viewer.ccall("viewer_" + name, null, values.map((value) => typeof value), values); wake(); };

  // ---- drawing: a frame only when something changes, in full quality once it stands still.
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

  // ---- words
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

  // ---- the arc of the jump: time runs along it
  const arc = {share_of: () => 0};
  function show_arc() {
    const told_arc = told("arc");
    $("maker").textContent = told_arc.maker === "drawn" ? "drawn, not simulated" : told_arc.maker;
    const svg = $("arc"), box = svg.getBoundingClientRect();
    const w = box.width, h = box.height, left = 22, right = w - 22, ground = h - 22, high = ground - 26;
    svg.setAttribute("viewBox", `0 0 ${w} ${h}`);
    const x_of = (share) => left + share * (right - left);
    const y_of = (share) => {
      const place = Math.min(share, 1) * (told_arc.heights.length - 1), i = Math.min(told_arc.heights.length - 2, Math.floor(place));
      return ground - high * (told_arc.heights[i] + (place - i) * (told_arc.heights[i + 1] - told_arc.heights[i]));
    };
    const points = told_arc.heights.map((height, i) => `${x_of(i / (told_arc.heights.length - 1)).toFixed(1)},${(ground - high * height).toFixed(1)}`);
    const area = `M${left},${ground} L${points.join(" ")} L${right},${ground}Z`, line = `M${points.join(" L")}`;
    const clip = shape("rect", {x: 0, y: -20, width: 0, height: h + 40});
    let ticks = "";
    const step = (right - left) / state.last_frame;
    const small = step >= 5 ? 1 : step >= 2.5 ? 2 : 10;
    for (let k = 0; k <= state.last_frame; k += small) ticks += `M${x_of(Math.min(1, k / state.last_frame)).toFixed(1)},${ground}v${k % 10 === 0 ? 12 : 6}`;
    const beads = told_arc.beads.map((bead) => {
      const a = bead.turned_deg, x = x_of(bead.share), y = y_of(bead.share);
      const group = shape("g", {transform: `translate(${x} ${y}) rotate(${-a})`}, shape("circle", {r: 8, fill: "var(--plate)", stroke: "var(--ink)", "stroke-width": 1.5}),
        shape("path", {d: "M0,-12L6,-6L0,0L-6,-6Z", fill: "var(--front)", stroke: "var(--line)", "stroke-width": 1.3}));
      return {share: bead.share, group};
    });
    const events = told_arc.events.map((event) => {
      const x = x_of(event.share), plate = {fill: "var(--plate)", stroke: "var(--ink)", "stroke-width": 2}, g = shape("g", {transform: `translate(${x} ${ground})`});
      g.append(shape("title", {}, event.words));
      if (event.kind === "takeoff") g.append(shape("path", {d: "M-8,3L0,-11L8,3Z", fill: "var(--ink)"}));
      else if (event.kind === "landing") g.append(shape("path", {d: "M-10,-9H10L0,8Z", fill: "var(--front)", stroke: "var(--line)", "stroke-width": 1.5}));
      else if (event.kind === "open") g.append(shape("path", {d: "M-8,0L0,-8L8,0L0,8Z", ...plate}));
      else if (event.kind === "strike") g.append(shape("path", {d: "M-7,-7L7,0L-7,7Z", ...plate}));
      else g.append(shape("rect", {x: -7, y: -7, width: 14, height: 14, ...plate}), shape("path", {d: "M-3,3L3,-3", stroke: "var(--ink)", "stroke-width": 2}));
      return g;
    });
    const thumb = shape("g", {}), stem = shape("path", {stroke: "var(--ink)", "stroke-width": 3});
    svg.replaceChildren(shape("defs", {}, shape("clipPath", {id: "past"}, clip)),
      shape("path", {d: area, fill: "var(--mat)"}), shape("path", {d: area, fill: "var(--wash)", "clip-path": "url(#past)"}),
      shape("path", {d: line, fill: "none", stroke: "var(--edge)", "stroke-width": 4}), shape("path", {d: line, fill: "none", stroke: "var(--ink)", "stroke-width": 5, "clip-path": "url(#past)"}),
      shape("path", {d: `M${left},${ground}H${right}`, stroke: "var(--ink)", "stroke-width": 2}), shape("path", {d: ticks, stroke: "var(--ink)", "stroke-width": 1.5}),
      ...beads.map((bead) => bead.group), ...events, stem, thumb);
    Object.assign(arc, {x_of, y_of, clip, beads, thumb, stem, ground, share_of: (x) => Math.min(1, Math.max(0, (x - left) / (right - left)))});
  }
  function show_thumb() {
    const x = arc.x_of(state.share), y = arc.y_of(state.share);
    arc.clip.setAttribute("width", x);
    arc.stem.setAttribute("d", `M${x},${y}V${arc.ground + 12}`);
    arc.thumb.setAttribute("transform", `translate(${x} ${y})`);
    arc.thumb.replaceChildren(shape("circle", {r: 25, fill: "var(--air)"}), shape("circle", {r: 21, fill: "var(--mat)", stroke: "var(--ink)", "stroke-width": 2.5}),
      shape("path", {d: "M-5,-29H5L0,-22Z", fill: "var(--ink)"}), ...dial_parts(state.turned_deg, 19));
    for (const bead of arc.beads) bead.group.setAttribute("visibility", Math.abs(arc.x_of(bead.share) - x) < 32 ? "hidden" : "visible");
    const svg = $("arc");
    svg.setAttribute("aria-valuemax", state.last_frame);
    svg.setAttribute("aria-valuenow", state.frame);
    svg.setAttribute("aria-valuetext", state.words);
  }
  function scrub_arc(event) {
    held = true;
    ask("seek", arc.share_of(event.clientX - $("arc").getBoundingClientRect().left));
  }
  $("arc").addEventListener("pointerdown", (event) => { $("arc").setPointerCapture(event.pointerId); scrub_arc(event); });
  $("arc").addEventListener("pointermove", (event) => { if ($("arc").hasPointerCapture(event.pointerId)) scrub_arc(event); });

  // ---- fingers on the stage: one scrubs, two orbit and zoom; a mouse orbits with its right button
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

  // ---- the row at the bottom and its pages
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
  function show_compared() {
    const compared = state.stages > 0 ? told("compared") : null;
    $("viewer").classList.toggle("comparing", compared !== null);
    $("panes").hidden = compared === null;
    if (!compared) return;
    show_answer(compared.lead, compared.wall);
    $("panes").replaceChildren(...compared.stages.map((pane) => make("div", {className: "pane"}, make("b", {className: "wall", textContent: pane.wall}), make("b", {textContent: pane.name}), make("span", {className: "dim", textContent: pane.words}))),
      make("span", {className: "seam", textContent: compared.same_wall ? "=" : "\u2260", title: compared.same_wall ? "same wall" : "other wall"}));
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
    $("compare").replaceChildren(row, make("p", {textContent: (compared.same_wall ? "same wall; " : "other wall; ") + compared.differs}));
  }

  // ---- attempts stay on the device; a page opened from a file may not be allowed to keep them, then they live
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

  // ---- what else there is to read, and to choose
  const settings = {theme: 0, text: false};
  function show_more() {
    if (shown_rung < 0) return;
    const notes = told("notes"), rung = climb.rungs[shown_rung], parts = [];
    const paragraph = (text, className = "") => parts.push(make("p", {textContent: text, className}));
    parts.push(make("b", {textContent: `${label(shown_rung)}  ${rung.title}`}));
    paragraph(notes.floor_walk);
    paragraph("start: " + notes.start, "dim");
    if (rung.cue) paragraph(rung.cue);
    paragraph(`air needed about ${notes.air_time_needed_s.toFixed(2)} s (estimate); the flight is ${arc_maker()}`, "dim");
    for (const warning of rung.warnings) paragraph("note: " + warning, "dim");
    parts.push(make("h2", {textContent: "to finish"}), make("ul", {}, ...notes.finish.map((line) => make("li", {textContent: `${line.part}: ${line.text}`}))));
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
  const arc_maker = () => told("arc").maker === "drawn" ? "drawn to teach where to face, not simulated" : told("arc").maker;
  function choose_theme(theme) {
    settings.theme = theme;
    document.documentElement.classList.remove(...themes);
    document.documentElement.classList.add(themes[theme]);
    ask("choose_settings", theme, matchMedia("(prefers-reduced-motion: reduce)").matches ? 1 : 0);
  }
  $("to_viewer").addEventListener("click", () => { document.documentElement.classList.remove("reading-text"); wake(); });

  // ---- start
  async function program() {
    const text = $("code").textContent, binary = atob(text.trim());
    const bytes = new Uint8Array(binary.length);
    for (let i = 0; i < binary.length; ++i) bytes[i] = binary.charCodeAt(i);
    mark("decoded");
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    const response = new Response(stream, {headers: {"content-type": "application/wasm"}});
    return (imports, receive) => {
      WebAssembly.instantiateStreaming(response, imports).then((made) => receive(made.instance));
      return {};
    };
  }
  async function start() {
    mark("script");
    if (!("WebGL2RenderingContext" in window)) throw new Error("this browser draws no WebGL 2");
    if (!("DecompressionStream" in window)) throw new Error("this browser is older than the page needs");
    const fonts = Promise.all(["500", "700", "800"].map((weight) => document.fonts.load(`${weight} 44px HalfturnInter`)));
    const made = await make_viewer({instantiateWasm: await program(), canvas: $("picture")});
    mark("program");
    await fonts;
    mark("fonts");
    viewer = made;
    const refused = call("open", $("plan").textContent) || call("use_canvas", "#picture");
    if (refused) throw new Error(refused);
    mark("opened");
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
    new ResizeObserver(() => { shown_rung = -1; wake(); }).observe(stage);
    // For whoever wants to know what is shown, for instance a test.
    window.halfturn = {climb, state: () => state, gates: () => gates, compared: () => state.stages > 0 ? told("compared") : null};
  }
  start().catch((error) => {
    // The text and the pictures below stand for themselves.
    document.documentElement.classList.remove("live");
    $("viewer").hidden = true;
    $("why_text").hidden = false;
    $("why_text").textContent = `The stage cannot be drawn here (${error.message}); this is the climb as text and pictures.`;
    viewer = null;
  });
})();
