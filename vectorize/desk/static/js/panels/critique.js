/* What was seen: what holds first, then what to look at; and comments pinned by hand. */

import { button, el, field } from "../dom.js";
import { back, through } from "../plane.js";

const AT_A_GLANCE = 5;
const WEIGHTS = { holds: "holds", note: "note", "look-again": "look again", fix: "put right" };

export function critiquePanel(work) {
  const { findings } = work.study;
  const holds = findings.filter((f) => f.severity === "holds");
  const rest = findings.filter((f) => f.severity !== "holds");
  return [
    holds.length ? holding(holds) : null,
    rest.length ? listed(work, "To look at", rest) : null,
    comments(work),
  ].filter(Boolean);
}

/* The first few at a glance; the rest unfolds, so that what to look at is not pushed off the page. */
function holding(holds) {
  const items = (list) => el("ul", { class: "holding" }, list.map((f) => el("li", {}, f.text)));
  const more = holds.slice(AT_A_GLANCE);
  return el("section", {}, el("h2", {}, "What holds"), items(holds.slice(0, AT_A_GLANCE)),
    more.length ? el("details", {}, el("summary", { "data-key": "more-holds" }, `And ${more.length} more`), items(more)) : null);
}

function listed(work, title, findings) {
  return el("section", {}, el("h2", {}, title), el("ul", { class: "findings" }, findings.map((f) => el("li", {}, finding(work, f)))));
}

function finding(work, f) {
  const words = [el("span", { class: "weight" }, WEIGHTS[f.severity]), el("span", {}, f.text)];
  if (!f.place) return el("div", { class: `finding ${f.severity}` }, ...words);
  const open = work.open === f;
  return el("button", {
    type: "button", class: `finding ${f.severity}`, "aria-current": open ? "true" : null, "data-key": `finding-${work.study.findings.indexOf(f)}`,
    onclick() {
      if (open) { work.set({ open: null }); work.view.fit(); return; }
      work.set({ open: f });
      goTo(work, f.place);
    },
  }, ...words);
}

function goTo(work, [x0, y0, x1, y1]) {
  const air = Math.max(250, 0.4 * Math.max(x1 - x0, y1 - y0));
  work.view.show([x0 - air, -y1 - air, x1 + air, -y0 + air]);
}

function comments(work) {
  const kept = work.study.corrections.comments;
  const list = el("ol", { class: "comments" }, kept.map((c, i) => el("li", {},
    el("p", {}, `${i + 1}. ${c.text}`),
    el("div", { class: "row" }, button("Go there", () => {
      const [x, y] = back(work.study.units_to_picture, c.at);
      goTo(work, [x - 200, y - 200, x + 200, y + 200]);
    }, { class: "quiet", "aria-label": `Go there: comment ${i + 1}` }),
    button("Remove", () => work.correct((k) => ({ ...k, comments: k.comments.filter((_, n) => n !== i) }), "The comment is taken off"), { class: "quiet", "aria-label": `Remove: comment ${i + 1}` })))));
  return el("section", {}, el("h2", {}, "Comments"),
    kept.length ? list : el("p", {}, el("small", {}, "Comments are pinned to a place and printed on the proof.")),
    work.pinning ? form(work) : button("Pin a comment", () => work.set({ pinning: { purpose: "comment", at: startPlace(work), text: "" } }), { "data-key": "pin" }));
}

/* The chosen letter, else the middle of what is seen. */
function startPlace(work) {
  const letter = work.study.letters[(work.chosen ?? 0) - 1];
  return letter ? [(letter.box[0] + letter.box[2]) / 2, letter.box[3]] : [work.view.x, -work.view.y];
}

function form(work) {
  const text = el("textarea", { maxlength: 2000, "data-key": "comment", value: work.pinning.text });
  text.addEventListener("input", () => { work.pinning.text = text.value; });
  requestAnimationFrame(() => text.focus());
  return el("form", {
    class: "home",
    onsubmit(event) {
      event.preventDefault();
      if (!text.value.trim()) { text.focus(); return; }
      const comment = { at: through(work.study.units_to_picture, work.pinning.at), text: text.value };
      work.pinning = null;
      work.correct((c) => ({ ...c, comments: [...c.comments, comment] }), "The comment is pinned");
    },
  }, field("Your comment", text, "Touch the place on the drawing that it belongs to; the pin shows where it goes."),
  el("div", { class: "row" }, el("button", { type: "submit", class: "main-thing" }, "Pin it"), button("Leave it", () => work.set({ pinning: null }))));
}
