// What the other files stand on: elements, the program, what is shown now. Texts of the plan are put into the page as
// text only, so that no name can become markup.
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
