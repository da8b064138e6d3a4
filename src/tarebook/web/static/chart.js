// Draws mass lost against reagent poured into an SVG element: axes, band, curve, points.
const SVG = "http://www.w3.org/2000/svg";
const STEPS = [1, 2, 2.5, 5, 10];

/** Make an SVG element with attributes, and text if given. */
function make(name, attributes, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (text !== undefined) element.textContent = text;
  return element;
}

/** Pleasing numbers from 0 to at least `most`, some `count` of them. */
export function ticks(most, count = 6) {
  const raw = most / count;
  const size = 10 ** Math.floor(Math.log10(raw));
  const step = STEPS.map((s) => s * size).find((s) => s >= raw);
  const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9) + (step / size === 2.5 ? 1 : 0));
  const found = [];
  for (let i = 0; i * step <= most * 1.0001; i += 1) found.push([i * step, (i * step).toFixed(digits)]);
  return found;
}

/**
 * Draw.
 * @param {SVGSVGElement} svg
 * @param {{points: object[], curve?: object[], at?: number, xTitle: string, yTitle: string, large?: boolean}} what
 *   points: {x, y, low?, high?, name?, kind?}; curve: {reagent_mL, lost_g, low_g, high_g}.
 */
export function draw(svg, what) {
  const box = svg.getBoundingClientRect();
  const width = Math.max(300, Math.round(box.width));
  const height = Math.max(220, Math.round(box.height));
  const size = what.large ? Math.max(15, width / 62) : 13;
  const edge = { left: 3.6 * size, right: 1.2 * size, top: 2.4 * size, bottom: 3.6 * size };
  const curve = what.curve ?? [];
  const xs = [...what.points.map((p) => p.x), ...curve.map((p) => p.reagent_mL)];
  const ys = [...what.points.map((p) => p.high ?? p.y), ...curve.map((p) => p.high_g)];
  const xMost = Math.max(1, ...xs) * 1.05;
  const yMost = Math.max(0.1, ...ys) * 1.12;
  const x = (value) => edge.left + (value / xMost) * (width - edge.left - edge.right);
  const y = (value) => height - edge.bottom - (value / yMost) * (height - edge.top - edge.bottom);
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.replaceChildren();
  const put = (name, attributes, text) => svg.append(make(name, attributes, text));

  for (const [value, label] of ticks(yMost)) {
    put("line", { class: "grid", x1: edge.left, x2: width - edge.right, y1: y(value), y2: y(value) });
    put("text", { class: "tick", x: edge.left - 0.5 * size, y: y(value) + 0.35 * size, "text-anchor": "end", "font-size": 0.92 * size }, label);
  }
  put("line", { class: "axis", x1: edge.left, x2: width - edge.right, y1: y(0), y2: y(0) });
  for (const [value, label] of ticks(xMost, width < 500 ? 5 : 8)) {
    put("line", { class: "axis", x1: x(value), x2: x(value), y1: y(0), y2: y(0) + 0.35 * size });
    put("text", { class: "tick", x: x(value), y: y(0) + 1.5 * size, "text-anchor": "middle", "font-size": 0.92 * size }, label);
  }
  put("text", { class: "title", x: width - edge.right, y: height - 0.5 * size, "text-anchor": "end", "font-size": size }, what.xTitle);
  put("text", { class: "title", x: 0.3 * size, y: 1.2 * size, "font-size": size }, what.yTitle);
  if (curve.length) {
    const over = curve.map((p) => `${x(p.reagent_mL)},${y(Math.max(0, p.high_g))}`);
    const under = curve.map((p) => `${x(p.reagent_mL)},${y(Math.max(0, p.low_g))}`).reverse();
    put("polygon", { class: "band", points: [...over, ...under].join(" ") });
    put("polyline", { class: "curve", points: curve.map((p) => `${x(p.reagent_mL)},${y(Math.max(0, p.lost_g))}`).join(" ") });
  }
  if (what.at) {
    put("line", { class: "mark", x1: x(what.at), x2: x(what.at), y1: y(0), y2: edge.top });
  }
  for (const point of what.points) {
    if (point.low !== undefined) put("line", { class: "bar", x1: x(point.x), x2: x(point.x), y1: y(point.low), y2: y(point.high) });
    put("circle", { class: `dot ${point.kind ?? ""}`, cx: x(point.x), cy: y(Math.max(0, point.y)), r: what.large ? 0.42 * size : 5 });
    if (point.name) put("text", { class: "name", x: x(point.x) + 0.65 * size, y: y(Math.max(0, point.y)) + 1.05 * size, "font-size": 0.85 * size }, point.name);
  }
}
