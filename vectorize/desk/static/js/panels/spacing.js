/* Spacing by hand: letters are moved in the lower drawing; their whites follow. */

import { button, el } from "../dom.js";
import { evenTheRest, moved, spread } from "../placing.js";
import { letterStepper } from "./letter.js";

const FINE = 10; // letter units: a hundredth of the x-height

export function spacingPanel(work) {
  const rows = el("tbody", {});
  const fill = () => rows.replaceChildren(...work.standing(work.moves).map((s) => row(work, s)));
  work.onMoves = fill;
  fill();
  const all = () => new Map(work.study.letters.map((l) => [l.index, work.placed.get(l.index) ?? false]));
  const nudge = (by) => work.place(moved(work.moves, work.chosen, by), new Map([[work.chosen, true]]));
  const off = { disabled: !work.chosen };
  return [
    el("section", {}, el("h2", {}, "One letter"),
      el("p", {}, el("small", {}, "Drag a letter in the lower drawing sideways, or choose one and use the arrow keys there; with Shift it goes five times as far.")),
      letterStepper(work),
      el("div", { class: "row" },
        button("To the left", () => nudge(-FINE), { "data-key": "left", ...off }),
        button("To the right", () => nudge(FINE), { "data-key": "right", ...off }))),
    el("section", {}, el("h2", {}, "The whole word"),
      el("div", { class: "row" },
        button("Tighter", () => work.place(spread(work.study, work.moves, -FINE), all()), { "data-key": "tighter" }),
        button("Looser", () => work.place(spread(work.study, work.moves, FINE), all()), { "data-key": "looser" }),
        button("Even the rest", () => {
          const firm = new Set([...work.placed].filter(([, byHand]) => byHand).map(([index]) => index));
          work.place(evenTheRest(work.study, work.moves, firm), all());
        }, { "data-key": "even" }),
        button("As the rule sets it", () => work.asTheRuleSetsIt(), { "data-key": "rule" })),
      el("p", {}, el("small", {}, "Even the rest leaves the letters that you placed and sets the others evenly around them."))),
    el("section", {}, el("h2", {}, "The whites"),
      el("table", { class: "whites" }, el("thead", {}, el("tr", {}, ["Space", "White", "Gap", "Looks"].map((t) => el("th", { scope: "col" }, t)))), rows),
      el("p", {}, el("small", {}, "White: the width, in x-heights, of a straight channel that looks as wide. Gap: from letter to letter, in x-heights."))),
  ];
}

const figure = (value) => value.toFixed(3).replace("-", "−");

function row(work, s) {
  const name = (index) => work.study.letters[index - 1].name ?? `${index} `;
  return el("tr", {}, el("th", { scope: "row" }, name(s.left) + name(s.right)), el("td", {}, figure(s.white)), el("td", {}, figure(s.gap)), el("td", { class: s.verdict }, s.verdict));
}
