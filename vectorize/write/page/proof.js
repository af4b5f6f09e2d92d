"use strict";
(() => {
  const board = document.getElementById("board"), svg = document.getElementById("stage");
  const [, , fullW, fullH] = svg.getAttribute("viewBox").split(" ").map(Number);
  const NEAREST = 60, STEP = 1.4, PAN = 0.15;
  let view = { x: 0, y: 0, w: fullW };
  const fingers = new Map();
  // However near one goes, these lines stay thin enough to see what they follow.
  for (const [layer, width] of [["drawn-letters", 1.25], ["drawn-edge", 1.75]])
    for (const path of document.querySelectorAll(`#${layer} path`)) {
      path.setAttribute("vector-effect", "non-scaling-stroke");
      path.setAttribute("stroke-width", width);
    }

  const shape = () => fullH / fullW;
  function show(x, y, w) {
    w = Math.min(fullW, Math.max(fullW / NEAREST, w));
    const h = w * shape();
    view = { x: Math.min(fullW - w, Math.max(0, x)), y: Math.min(fullH - h, Math.max(0, y)), w };
    svg.setAttribute("viewBox", `${view.x} ${view.y} ${w} ${h}`);
    board.classList.toggle("near", w < fullW * 0.999);
  }
  function place(clientX, clientY) {
    const p = new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [p.x, p.y];
  }
  function zoom(factor, at) {
    const [px, py] = at ?? [view.x + view.w / 2, view.y + view.w * shape() / 2];
    const w = Math.min(fullW, Math.max(fullW / NEAREST, view.w / factor)), k = w / view.w;
    show(px - (px - view.x) * k, py - (py - view.y) * k, w);
  }
  const pan = (dx, dy) => show(view.x + dx * view.w, view.y + dy * view.w * shape(), view.w);
  const whole = () => show(0, 0, fullW);

  function visit(link) {
    document.querySelectorAll(".lit").forEach((e) => e.classList.remove("lit"));
    link.classList.add("lit");
    if (link.querySelector("[data-whole]")) whole();
    else near(link.querySelector("path").getBBox());
    board.scrollIntoView({ block: "nearest" });
    link.focus({ preventScroll: true });
  }
  // The bracket alone: the number stands far above its place.
  function near(b) {
    const w = Math.max(b.width * 1.6, b.height * 1.25 / shape());
    show(b.x + b.width / 2 - w / 2, b.y + b.height / 2 - w * shape() / 2, w);
  }

  svg.addEventListener("wheel", (e) => {
    if (!e.ctrlKey && document.activeElement !== svg) return;
    e.preventDefault();
    zoom(Math.exp(-e.deltaY * (e.deltaMode ? 0.05 : 0.0022)), place(e.clientX, e.clientY));
  }, { passive: false });
  svg.addEventListener("pointerdown", (e) => {
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
  });
  svg.addEventListener("pointermove", (e) => {
    const was = fingers.get(e.pointerId);
    if (!was) return;
    const now = [e.clientX, e.clientY], other = [...fingers].find(([id]) => id !== e.pointerId)?.[1];
    if (other) {
      const far = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]);
      zoom(far(now) / Math.max(1, far(was)), place((now[0] + other[0]) / 2, (now[1] + other[1]) / 2));
    } else if (view.w < fullW) {
      if (!svg.hasPointerCapture(e.pointerId) && Math.hypot(now[0] - was[0], now[1] - was[1]) < 3) return;
      svg.setPointerCapture(e.pointerId);
      const [x0, y0] = place(...was), [x1, y1] = place(...now);
      show(view.x + x0 - x1, view.y + y0 - y1, view.w);
    }
    fingers.set(e.pointerId, now);
  });
  for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, (e) => fingers.delete(e.pointerId));
  svg.addEventListener("dblclick", (e) => zoom(STEP * STEP, place(e.clientX, e.clientY)));
  svg.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const act = {
      "+": () => zoom(STEP), "=": () => zoom(STEP), "-": () => zoom(1 / STEP), "0": whole,
      ArrowLeft: () => pan(-PAN, 0), ArrowRight: () => pan(PAN, 0), ArrowUp: () => pan(0, -PAN), ArrowDown: () => pan(0, PAN),
    }[e.key];
    if (!act) return;
    e.preventDefault();
    act();
  });
  document.getElementById("nearer").addEventListener("click", () => zoom(STEP));
  document.getElementById("further").addEventListener("click", () => zoom(1 / STEP));
  document.getElementById("whole").addEventListener("click", whole);
  document.addEventListener("click", (e) => {
    const link = e.target.closest?.("a.show");
    const to = link && document.getElementById(link.getAttribute("href").slice(1))?.closest("a");
    if (!to) return;
    e.preventDefault();
    visit(to);
  });
  addEventListener("beforeprint", whole);
  board.classList.add("live");
})();
