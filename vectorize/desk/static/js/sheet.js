/* One drawing on its sheet: picture, guidelines, whites, letters, notes, each a layer that can be hidden. */

import { el, svg } from "./dom.js";
import { back } from "./plane.js";
import { whiteShape } from "./rule.js";

export const GUIDES = {
  baseline: "baseline", mean_line: "mean line", cap_line: "cap line",
  ascender_line: "ascender line", descender_line: "descender line",
};

const FLIP = "scale(1 -1)";
export const NODES_FROM = 0.45; // px a unit: from here on the nodes can be told apart

export function createSheet(caption, name) {
  const layer = (id) => svg("g", { class: `layer-${id}` });
  const layers = { picture: layer("picture"), guides: layer("guides"), whites: layer("whites"), letters: layer("letters"), model: layer("model"), notes: layer("notes"), hands: layer("hands") };
  const root = svg("svg", { tabindex: 0, role: "group", "aria-label": name, "aria-describedby": "sheet-keys" }, ...Object.values(layers));
  const title = el("figcaption", {}, caption);
  const figure = el("figure", { class: "sheet" }, title, root);
  figure.style.margin = "0";
  return { figure, root, layers, title };
}

/* scene: { study, moves, shown: {layer: bool}, standing, chosen, pictures, scale, open, comments, other } */
export function drawSheet(sheet, scene) {
  const { layers, root } = sheet;
  const focused = root.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  root.classList.toggle("over-sketch", Boolean(scene.picture && scene.shown.picture));
  drawPicture(layers.picture, scene);
  const drawn = {
    guides: () => guideMarks(scene), whites: () => whiteMarks(scene),
    letters: () => letterMarks(scene), model: () => modelMarks(scene), notes: () => noteMarks(scene),
  };
  for (const [name, marks] of Object.entries(drawn)) layers[name].replaceChildren(...(scene.shown[name] ? marks() : []));
  layers.hands.replaceChildren(...(scene.hands ? scene.hands() : []));
  if (focused) root.querySelector(`[data-key="${focused}"]`)?.focus();
}

function drawPicture(layer, { picture, shown, study }) {
  layer.toggleAttribute("hidden", !shown.picture);
  layer.style.display = shown.picture ? "" : "none";
  if (!picture) return layer.replaceChildren();
  // The same element is kept: a new one would flash while it loads.
  const image = layer.firstChild ?? layer.appendChild(svg("image", { class: "sketch", preserveAspectRatio: "none" }));
  const { width, height, to_units: m } = study.sketch;
  if (image.getAttribute("href") !== picture) image.setAttribute("href", picture);
  image.setAttribute("width", width);
  image.setAttribute("height", height);
  image.setAttribute("transform", `${FLIP} matrix(${m.join(" ")})`);
  return undefined;
}

function guideMarks({ study, level }) {
  // A line may run over the whole sheet; its name stands near the word.
  const left = Math.min(...study.letters.map((l) => l.box[0])) - 120;
  return Object.entries(study.guides).filter(([, line]) => line).flatMap(([name, line]) => {
    let [[x0, y0], [x1, y1]] = line.ends;
    // In the setting the lines are true: level and as far apart as at the middle of the word.
    if (level) y0 = y1 = name === "baseline" ? 0 : (y0 + y1) / 2;
    return [
      svg("line", { class: `guide-line ${line.source}`, x1: x0, y1: -y0, x2: x1, y2: -y1 }),
      svg("text", { class: "guide-name", x: Math.max(x0, left), y: -y0, dy: "-.4em", "data-size": 11 }, GUIDES[name]),
    ];
  });
}

function whiteMarks({ study, standing }) {
  return standing.flatMap((s) => {
    const points = whiteShape(s.space, s.edge, s.gap, study.rule).map(([x, y]) => `${x},${-y}`).join(" ");
    const marks = [svg("polygon", { class: `white ${s.verdict}`, points })];
    if (s.verdict !== "even") {
      const below = svg("text", { class: `verdict ${s.verdict}`, x: 1000 * (s.edge + s.gap / 2), y: 0, dy: "1.6em", "data-size": 12 }, s.verdict);
      marks.push(below);
    }
    return marks;
  });
}

function letterMarks({ study, moves, chosen, other, scale }) {
  const marks = study.letters.map((letter, i) => svg("path", {
    class: letter.index === chosen ? "letter chosen" : "letter",
    d: letter.path, "fill-rule": "evenodd", "data-letter": letter.index,
    transform: `translate(${moves[i]} 0) ${FLIP}`,
  }));
  const laidOver = (other?.study.letters ?? []).map((letter) => svg("path", {
    class: "letter other", d: letter.path, "fill-rule": "evenodd",
    transform: `translate(${other.shift} 0) ${FLIP}`,
  }));
  const near = scale < NODES_FROM ? [] : study.letters.flatMap((letter, i) => letter.nodes.map(([x, y]) => svg("circle", {
    class: "node", cx: x + moves[i], cy: -y, "data-r": 3,
  })));
  return [...marks, ...laidOver, ...near];
}

/* The model's letters are laid over the drawn ones, not set as the model would set them. */
function modelMarks({ study, picture, other }) {
  const paths = picture && !other ? study.model?.letters ?? [] : [];
  return paths.filter(Boolean).map((d) => svg("path", { class: "model-letter", d, transform: FLIP }));
}

function noteMarks({ study, open, comments }) {
  const places = open?.place ? [placeMark(open.place)] : [];
  if (!comments) return places;
  const pins = comments.flatMap((comment, i) => {
    const [x, y] = back(study.units_to_picture, comment.at);
    return [
      svg("circle", { class: "pin", cx: x, cy: -y, "data-r": 10, "data-comment": i }),
      svg("text", { class: "pin-number", x, y: -y, dy: ".35em", "data-size": 12 }, String(i + 1)),
    ];
  });
  return [...places, ...pins];
}

function placeMark([x0, y0, x1, y1]) {
  return svg("rect", { class: "place open", x: x0, y: -y1, width: x1 - x0, height: y1 - y0, rx: 20 });
}
