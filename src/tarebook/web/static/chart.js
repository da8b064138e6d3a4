// Draws mass lost against what grows along a row into an SVG element: axes, band, curve, points, each
// named where it stands.
import { asWritten, say } from "./bench/words.js";

const SVG = "http://www.w3.org/2000/svg";
const STEPS = [1, 2, 2.5, 5, 10];

/**
 * A point of a row; `low` and `high` are the ends of its bar, where it has one.
 * @typedef {{x: number, y: number, low?: number | undefined, high?: number | undefined, name?: string,
 *   whose?: string, kind?: string}} Point
 *
 * A point of a curve with its band.
 * @typedef {{along: number, lost_g: number, low_g: number, high_g: number}} CurvePoint
 *
 * Words at a place, moved by `dx` and `dy` heights of the letters; without `y` at the upper edge.
 * @typedef {{x: number, y?: number, text: string, kind?: string, anchor?: string, dx?: number,
 *   dy?: number}} Label
 */

/**
 * Make an SVG element with attributes, and text if given.
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {string} [text]
 */
function make(name, attributes, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  if (text !== undefined) element.textContent = text;
  return element;
}

/**
 * Pleasing numbers from 0 to the first that is not below `most`, some `count` of them.
 * @param {number} most
 * @param {number} [count]
 * @returns {[number, string][]} Value and text.
 */
export function ticks(most, count = 6) {
  const raw = most / count;
  const size = 10 ** Math.floor(Math.log10(raw));
  const step = STEPS.map((s) => s * size).find((s) => s >= raw) ?? 10 * size;
  const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9) + (step / size === 2.5 ? 1 : 0));
  const n = Math.ceil(most / step - 1e-9);
  return Array.from({ length: n + 1 }, (_, i) => /** @type {[number, string]} */ ([i * step, asWritten((i * step).toFixed(digits))]));
}

/**
 * The outline of a mark around a place; shapes differ, so that no meaning hangs on colour alone.
 * @param {string} kind
 * @param {number} x
 * @param {number} y
 * @param {number} r
 */
function outline(kind, x, y, r) {
  if (kind === "right") return `M${x + r} ${y}l${-2 * r} ${1.2 * r}v${-2.4 * r}z`;
  if (kind === "down") return `M${x} ${y + r}l${1.2 * r} ${-2 * r}h${-2.4 * r}z`;
  if (kind === "up") return `M${x} ${y - r}l${1.2 * r} ${2 * r}h${-2.4 * r}z`;
  if (kind.includes("sure-sample")) return `M${x - r} ${y - r}h${2 * r}v${2 * r}h${-2 * r}z`;
  if (kind.includes("unsure")) return `M${x} ${y - 1.35 * r}l${1.35 * r} ${1.35 * r}l${-1.35 * r} ${1.35 * r}l${-1.35 * r} ${-1.35 * r}z`;
  return `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
}

/**
 * Draw.
 * @param {SVGSVGElement} svg
 * @param {{points: readonly Point[], curve?: readonly CurvePoint[], at?: number | undefined,
 *   labels?: readonly Label[], xTitle: string, xUnit?: string, yTitle: string, large?: boolean,
 *   most?: {x: number, y: number} | undefined}} what
 *   most: a point beyond it, or below zero, stands at the edge with its values: one slip must not
 *   press all others flat.
 */
export function draw(svg, what) {
  const box = svg.getBoundingClientRect();
  const width = Math.max(300, Math.round(box.width));
  const height = Math.max(220, Math.round(box.height));
  const size = what.large ? Math.max(15, width / 62) : 13;
  const edge = { left: 3.6 * size, right: 1.2 * size, top: 2.4 * size, bottom: 3.6 * size };
  const curve = what.curve ?? [];
  const most = what.most ?? { x: Infinity, y: Infinity };
  const inside = what.points.filter((p) => p.y <= most.y && p.x <= most.x);
  const xTicks = ticks(Math.max(1, ...inside.map((p) => p.x), ...curve.map((p) => p.along)), width < 500 ? 5 : 8);
  const yTicks = ticks(1.06 * Math.max(0.1, ...inside.map((p) => p.high ?? p.y), ...curve.map((p) => p.high_g)));
  const xMost = Math.max(...xTicks.map(([value]) => value));
  const yMost = Math.max(...yTicks.map(([value]) => value));
  const x = (/** @type {number} */ value) => edge.left + (value / xMost) * (width - edge.left - edge.right);
  const y = (/** @type {number} */ value) => height - edge.bottom - (Math.max(0, value) / yMost) * (height - edge.top - edge.bottom);
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.replaceChildren();
  /** @type {(...made: Parameters<typeof make>) => void} */
  const put = (...made) => svg.append(make(...made));

  for (const [value, label] of yTicks) {
    put("line", { class: "grid", x1: edge.left, x2: width - edge.right, y1: y(value), y2: y(value) });
    put("text", { class: "tick", x: edge.left - 0.5 * size, y: y(value) + 0.35 * size, "text-anchor": "end", "font-size": 0.92 * size }, label);
  }
  put("line", { class: "axis", x1: edge.left, x2: width - edge.right, y1: y(0), y2: y(0) });
  for (const [value, label] of xTicks) {
    put("line", { class: "axis", x1: x(value), x2: x(value), y1: y(0), y2: y(0) + 0.35 * size });
    put("text", { class: "tick", x: x(value), y: y(0) + 1.5 * size, "text-anchor": "middle", "font-size": 0.92 * size }, label);
  }
  put("text", { class: "title", x: width - edge.right, y: height - 0.5 * size, "text-anchor": "end", "font-size": size }, what.xTitle);
  put("text", { class: "title", x: 0.3 * size, y: 1.2 * size, "font-size": size }, what.yTitle);
  if (curve.length) {
    const over = curve.map((p) => `${x(p.along)},${y(p.high_g)}`);
    const under = curve.map((p) => `${x(p.along)},${y(p.low_g)}`).reverse();
    put("polygon", { class: "band", points: [...over, ...under].join(" ") });
    put("polyline", { class: "curve", points: curve.map((p) => `${x(p.along)},${y(p.lost_g)}`).join(" ") });
  }
  if (what.at) {
    put("line", { class: "mark", x1: x(what.at), x2: x(what.at), y1: y(0), y2: edge.top });
  }
  for (const label of what.labels ?? []) {
    const top = label.y === undefined ? edge.top : y(label.y);
    put("text", { class: `called ${label.kind ?? ""}`, x: x(label.x) + (label.dx ?? 0) * size, y: top + (label.dy ?? 0) * size, "text-anchor": label.anchor ?? "start", "font-size": size }, label.text);
  }
  const r = what.large ? 0.42 * size : 5;
  for (const point of what.points) {
    const at = x(Math.min(point.x, xMost));
    const way = point.x > most.x ? "right" : point.y > most.y ? "up" : point.y < -yMost / 40 ? "down" : "";
    if (way) {
      const level = Math.max(edge.top + r, Math.min(y(point.y), y(0) - r));
      const left = at > width / 2;
      put("path", { class: `dot beyond ${point.kind ?? ""}`, d: outline(way, way === "right" ? at - r : at, level, r) });
      put("text", { class: "name", x: at + (left ? -1 : 0.75) * size, y: Math.min(level, y(0) - 0.8 * size) + 0.4 * size, "text-anchor": left ? "end" : "start", "font-size": 0.92 * size }, say("pad-point-at", { whose: point.whose ?? "", along: `${asWritten(point.x.toFixed(1))} ${what.xUnit ?? "mL"}`, lost: `${asWritten(point.y.toFixed(2))} g` }).trim());
      continue;
    }
    if (point.low !== undefined && point.high !== undefined) put("line", { class: "bar", x1: at, x2: at, y1: y(point.low), y2: y(point.high) });
    put("path", { class: `dot ${point.kind ?? ""}`, d: outline(point.kind ?? "", at, y(point.y), r) });
    if (point.name) put("text", { class: "name", x: at + 0.65 * size, y: y(point.y) + 1.15 * size, "font-size": 0.92 * size }, point.name);
  }
}
