// the arc of the jump: time runs along it
const arc = {share_of: () => 0};
function show_arc() {
  const told_arc = told("arc");
  show_maker(told_arc.maker);
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
