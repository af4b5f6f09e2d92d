/* One view for all sheets on the table: they are moved and magnified together, so that the same place is compared.
   The centre is in display units (x right, y down, 1000 = the x-height), `scale` in screen pixels a unit. */

import { clamp } from "./plane.js";

const NEAREST = 8; // px a unit: an x-height then measures 8000 px, the edge of a letter fills the sheet
const FARTHEST = 0.004;
const TAP = 5; // px a finger or hand may slip and still mean one place

export function createView(onChange) {
  const view = { x: 0, y: 0, scale: 0.1, home: [0, -1500, 5000, 500] };
  const sheets = [];
  let waiting = false;

  const place = (svg) => {
    const { clientWidth: w, clientHeight: h } = svg;
    if (!w || !h) return;
    const [uw, uh] = [w / view.scale, h / view.scale];
    svg.setAttribute("viewBox", `${view.x - uw / 2} ${view.y - uh / 2} ${uw} ${uh}`);
    // Names of lines crowd a small drawing; they come with the first magnifying.
    svg.classList.toggle("small-letters", view.scale * 1000 < 60);
    for (const mark of svg.querySelectorAll("[data-r]")) mark.setAttribute("r", mark.dataset.r / view.scale);
    for (const text of svg.querySelectorAll("[data-size]")) text.setAttribute("font-size", text.dataset.size / view.scale);
  };

  view.refresh = () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      sheets.forEach(place);
      onChange(view);
    });
  };
  view.placeNow = () => sheets.forEach(place);

  view.show = ([x0, y0, x1, y1], room = 0.88) => {
    const svg = sheets[0];
    if (!svg?.clientWidth) return;
    const scale = Math.min(svg.clientWidth / (x1 - x0), svg.clientHeight / (y1 - y0)) * room;
    Object.assign(view, { scale: clamp(scale, FARTHEST, NEAREST), x: (x0 + x1) / 2, y: (y0 + y1) / 2 });
    view.refresh();
  };
  view.fit = () => view.show(view.home);

  view.zoom = (factor, svg = sheets[0], px = svg.clientWidth / 2, py = svg.clientHeight / 2) => {
    const before = view.scale;
    view.scale = clamp(before * factor, FARTHEST, NEAREST);
    const shift = 1 / before - 1 / view.scale;
    view.x += (px - svg.clientWidth / 2) * shift;
    view.y += (py - svg.clientHeight / 2) * shift;
    view.refresh();
  };
  view.pan = (dx, dy) => {
    view.x -= dx / view.scale;
    view.y -= dy / view.scale;
    view.refresh();
  };

  view.pointAt = (svg, event) => {
    const box = svg.getBoundingClientRect();
    return [
      view.x + (event.clientX - box.left - box.width / 2) / view.scale,
      view.y + (event.clientY - box.top - box.height / 2) / view.scale,
    ];
  };

  view.attach = (svg, hands) => {
    sheets.push(svg);
    const watch = new ResizeObserver(() => view.refresh());
    watch.observe(svg);
    listen(svg, view, hands);
    return () => { watch.disconnect(); sheets.splice(sheets.indexOf(svg), 1); };
  };
  return view;
}

/* hands: { tap(point, target), grab(point, target) -> { move(point), end(given up) } or null, key(event) -> taken } */
function listen(svg, view, hands) {
  const fingers = new Map();
  let start = null;
  let touched = null; // what was under the pointer first; once captured, the sheet itself is told as target
  let held = null;

  svg.addEventListener("wheel", (event) => {
    event.preventDefault();
    const box = svg.getBoundingClientRect();
    if (event.shiftKey) view.pan(-(event.deltaX || event.deltaY), 0);
    else view.zoom(Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0016)), svg, event.clientX - box.left, event.clientY - box.top);
  }, { passive: false });

  svg.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    svg.setPointerCapture(event.pointerId);
    start = [event.clientX, event.clientY];
    touched = event.target;
    held = fingers.size === 1 ? hands.grab(view.pointAt(svg, event), event.target) : null;
  });

  svg.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const now = [event.clientX, event.clientY];
    if (held) held.move(view.pointAt(svg, event));
    else if (fingers.size === 1) view.pan(now[0] - before[0], now[1] - before[1]);
    else pinch(svg, view, fingers, event.pointerId, now);
    fingers.set(event.pointerId, now);
  });

  const lift = (event) => {
    if (!fingers.delete(event.pointerId)) return;
    const still = start && Math.hypot(event.clientX - start[0], event.clientY - start[1]) < TAP;
    if (held) held.end(event.type === "pointercancel");
    if (still && event.type === "pointerup") hands.tap(view.pointAt(svg, event), touched);
    held = null;
    start = null;
  };
  svg.addEventListener("pointerup", lift);
  svg.addEventListener("pointercancel", lift);

  svg.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || hands.key(event)) return;
    const step = event.shiftKey ? 160 : 40;
    const keys = {
      "+": () => view.zoom(1.3), "=": () => view.zoom(1.3), "-": () => view.zoom(1 / 1.3), 0: () => view.fit(),
      ArrowLeft: () => view.pan(step, 0), ArrowRight: () => view.pan(-step, 0),
      ArrowUp: () => view.pan(0, step), ArrowDown: () => view.pan(0, -step),
    };
    if (!keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });
}

function pinch(svg, view, fingers, moving, now) {
  const before = fingers.get(moving);
  const [other] = [...fingers].filter(([id]) => id !== moving).map(([, at]) => at);
  const apart = (a) => Math.hypot(a[0] - other[0], a[1] - other[1]) || 1;
  const box = svg.getBoundingClientRect();
  const middle = (a) => [(a[0] + other[0]) / 2, (a[1] + other[1]) / 2];
  const [from, to] = [middle(before), middle(now)];
  view.pan(to[0] - from[0], to[1] - from[1]);
  view.zoom(apart(now) / apart(before), svg, to[0] - box.left, to[1] - box.top);
}
