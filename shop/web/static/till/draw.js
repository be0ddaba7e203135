/* Parts of the page: made by name, with what they say as text and never as markup. */

const SVG = "http://www.w3.org/2000/svg";

/** An element with its attributes and what stands in it. `on...` are what happens at a press and the like. */
export function make(name, attributes = {}, ...within) {
  return filled(document.createElement(name), attributes, within);
}

function drawn(name, attributes = {}, ...within) {
  return filled(document.createElementNS(SVG, name), attributes, within);
}

function filled(element, attributes, within) {
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, value);
  }
  element.append(...within.filter((one) => one !== null && one !== undefined && one !== false));
  return element;
}

/** A rug as its stripes, to scale, as wide as its place; long ones lie down so that all take the same room. */
export function rugDrawing(rug) {
  const [width, length] = [rug.width, rug.length].map((side) => Math.max(1, side));
  const scale = 92 / Math.max(length, width * 1.5);
  const across = length * scale, tall = width * scale, top = (64 - tall) / 2, left = (96 - across) / 2;
  const stripes = rug.stripes.length ? rug.stripes : [[rug.colour, 1]];
  const all = stripes.reduce((sum, [, share]) => sum + share, 0) || 1;
  let begin = left;
  const bands = stripes.map(([colour, share]) => {
    const long = (across * share) / all;
    const band = drawn("rect", { x: begin.toFixed(2), y: top.toFixed(2), width: (long + 0.2).toFixed(2), height: tall.toFixed(2), fill: colour });
    begin += long;
    return band;
  });
  const edge = drawn("rect", { x: left, y: top, width: across, height: tall, fill: "none", stroke: "#23201b", "stroke-width": 0.8 });
  return drawn("svg", { viewBox: "0 0 96 64", "aria-hidden": "true", focusable: "false", class: "stripes" }, ...bands, edge);
}

/** A square code, drawn with the quiet border that the standard asks for. */
export function codeDrawing(rows, told) {
  const runs = [];
  rows.forEach((row, y) => row.forEach((dark, x) => { if (dark) runs.push(`M${x + 4} ${y + 4}h1v1h-1z`); }));
  const across = rows.length + 8;
  return drawn("svg", { viewBox: `0 0 ${across} ${across}`, role: "img", "aria-label": told, class: "code", "shape-rendering": "crispEdges" },
    drawn("rect", { width: across, height: across, fill: "#fff" }), drawn("path", { d: runs.join(""), fill: "#000" }));
}

/** Put these in the place of whatever stands in an element. */
export function fill(element, ...within) {
  element.replaceChildren(...within.filter((one) => one !== null && one !== undefined && one !== false));
}

export const by = (id) => document.getElementById(id);
