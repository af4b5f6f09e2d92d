/* What the hand takes hold of in the upper drawing: guidelines and their ends, the line of a cut, the pin of a comment. */

import { svg } from "./dom.js";
import { through } from "./plane.js";
import { GUIDES } from "./sheet.js";

const STEP = 5; // letter units an arrow key moves an end; with Shift four times as far

const toPicture = (work, p) => through(work.study.units_to_picture, p);

/* The lines as the hand has them now: what was read, until one is dragged. */
export function linesNow(work) {
  if (work.lines) return work.lines;
  const found = Object.entries(work.study.guides).filter(([, line]) => line);
  return Object.fromEntries(found.map(([name, line]) => [name, line.ends.map((p) => [...p])]));
}

export function handMarks(work) {
  const marks = [];
  if (work.pinning) marks.push(pinMark(work.pinning));
  if (work.panel !== "setright") return marks;
  for (const [name, ends] of Object.entries(linesNow(work))) {
    const [[x0, y0], [x1, y1]] = ends;
    const at = { x1: x0, y1: -y0, x2: x1, y2: -y1 };
    if (work.lines) marks.push(svg("line", { class: "given-line", ...at }));
    marks.push(svg("line", { class: "grip", ...at, "data-grab": `${name}:both` }));
    ends.forEach(([x, y], i) => marks.push(svg("circle", {
      class: "handle", cx: x, cy: -y, "data-r": 7, "data-grab": `${name}:${i}`, "data-key": `${name}:${i}`, tabindex: 0,
      role: "slider", "aria-orientation": "vertical", "aria-valuenow": Math.round(y), "aria-valuemin": -3000, "aria-valuemax": 4000,
      "aria-label": `${GUIDES[name]}, ${i ? "right" : "left"} end`,
    })));
  }
  if (work.cut) {
    const [[x0, y0], [x1, y1]] = work.cut;
    marks.push(svg("line", { class: "cut-line", x1: x0, y1: -y0, x2: x1, y2: -y1 }));
    work.cut.forEach(([x, y], i) => marks.push(svg("circle", {
      class: "handle", cx: x, cy: -y, "data-r": 7, "data-grab": `cut:${i}`, "data-key": `cut:${i}`, tabindex: 0,
      role: "slider", "aria-valuenow": Math.round(x), "aria-valuemin": -1000, "aria-valuemax": 100000,
      "aria-label": `the cut, ${i ? "lower" : "upper"} end`,
    })));
  }
  return marks;
}

function pinMark({ at: [x, y] }) {
  return svg("circle", {
    class: "handle pin", cx: x, cy: -y, "data-r": 9, "data-grab": "pin:0", "data-key": "pin-mark", tabindex: 0, role: "slider",
    "aria-valuenow": Math.round(x), "aria-valuemin": -100000, "aria-valuemax": 100000, "aria-label": "the pin",
  });
}

const held = (work, name) => ({ cut: work.cut, pin: [work.pinning?.at] }[name] ?? linesNow(work)[name]);

/* Moves what is held by (dx, dy) letter units; the same for a drag and for an arrow key. */
function shift(work, hold, from, dx, dy) {
  const [name, which] = hold.split(":");
  const moved = (ends) => ends.map(([x, y], i) => (which === "both" || Number(which) === i ? [x + dx, y + dy] : [x, y]));
  if (name === "cut") work.set({ cut: moved(from) }, "sheets");
  else if (name === "pin") work.set({ pinning: { ...work.pinning, at: moved(from)[0] } }, "sheets");
  else work.set({ lines: { ...linesNow(work), [name]: moved(from) } }, "sheets");
}

export function keepLine(work, name, ends, said) {
  const [start, end] = ends.map((p) => toPicture(work, p));
  return work.correct((c) => ({
    ...c,
    guides: [...c.guides.filter((g) => g.name !== name), { name, start, end }],
    no_guides: c.no_guides.filter((g) => g !== name),
  }), said ?? `The ${GUIDES[name]} is given by hand`);
}

export function grabHand(work, point, target) {
  const hold = target.dataset?.grab;
  if (!hold) return null;
  const name = hold.split(":")[0];
  const from = held(work, name);
  let moved = false;
  return {
    move([x, y]) {
      moved = true;
      // A whole line moves up and down only; an end goes where it is taken.
      shift(work, hold, from, hold.endsWith("both") ? 0 : x - point[0], point[1] - y);
    },
    end(givenUp) {
      if (!GUIDES[name] || !moved) return;
      if (givenUp) work.set({ lines: null }, "sheets");
      else keepLine(work, name, work.lines[name]);
    },
  };
}

export function handKey(work, event) {
  const hold = event.target.dataset?.grab;
  const step = STEP * (event.shiftKey ? 4 : 1);
  const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
  if (!hold || !by) return false;
  event.preventDefault();
  const name = hold.split(":")[0];
  shift(work, hold, held(work, name), ...by);
  if (GUIDES[name]) {
    clearTimeout(work.lineRests);
    work.lineRests = setTimeout(() => { if (work.lines) keepLine(work, name, work.lines[name]); }, 500);
  }
  return true;
}
