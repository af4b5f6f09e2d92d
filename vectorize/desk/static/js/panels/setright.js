/* Setting right what was read wrong: lines, level, letters, size. */

import { button, el, field } from "../dom.js";
import { keepLine, linesNow } from "../hands.js";
import { through } from "../plane.js";
import { GUIDES } from "../sheet.js";
import { readingFields } from "../waiting.js";
import { letterStepper } from "./letter.js";

/* Where a line is laid when there is none: common heights, to be dragged to the right one. */
const USUAL = { mean_line: 1000, cap_line: 1400, ascender_line: 1450, descender_line: -450 };

export function setRightPanel(work) {
  return [letters(work), smudge(work), lines(work), size(work), startAgain(work)];
}

const divided = (c, kind, start, end = start) => ({ ...c, divisions: [...c.divisions, { kind, start, end }] });
const onPicture = (work, p) => through(work.study.units_to_picture, p);

function letters(work) {
  const { study, chosen } = work;
  const letter = study.letters[(chosen ?? 0) - 1];
  const next = letter && study.letters[letter.index];
  const off = { disabled: !letter };
  const name = el("input", { type: "text", maxlength: 4, value: letter?.name ?? "", "data-key": "name", autocomplete: "off", autocapitalize: "off", spellcheck: "false", ...off });
  name.addEventListener("change", () => {
    if (!name.value.trim()) return;
    work.correct((c) => ({ ...c, names: [...c.names.filter((n) => !near(n.at, letter.at)), { at: letter.at, name: name.value.trim() }] }), `It is ${name.value.trim()}`);
  });
  return el("section", {}, el("h2", {}, "Letters"),
    el("p", {}, el("small", {}, "Touch a letter in the upper drawing, or step to it.")),
    letterStepper(work),
    field("This letter is", name),
    el("div", { class: "row" },
      button("One with the next", () => work.correct((c) => divided(c, "join", letter.at, next.at), "They are one letter"), { "data-key": "join", disabled: !next }),
      button("Not a letter", () => work.correct((c) => divided(c, "drop", letter.at), "It is left out"), { "data-key": "drop", ...off }),
      work.cut ? null : button("Cut in two", () => work.set({ cut: startCut(letter) }), { "data-key": "cut", ...off })),
    work.cut ? cutting(work) : null);
}

const near = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) < 3;

function startCut({ box: [x0, y0, x1, y1] }) {
  const middle = (x0 + x1) / 2;
  return [[middle, y1 + 60], [middle, y0 - 60]];
}

function cutting(work) {
  return el("div", { class: "home" },
    el("p", {}, "Lay the red line where the letter is to be parted: drag its ends, or reach them with Tab and move them with the arrow keys."),
    el("div", { class: "row" },
      button("Cut here", () => {
        const [start, end] = work.cut.map((p) => onPicture(work, p));
        work.correct((c) => divided(c, "cut", start, end), "Cut in two");
      }, { class: "main-thing", "data-key": "cut-here" }),
      button("Leave it whole", () => work.set({ cut: null }))));
}

function smudge(work) {
  const erase = () => {
    const at = onPicture(work, work.pinning.at);
    work.pinning = null;
    work.correct((c) => divided(c, "erase", at), "The mark is erased");
  };
  const start = () => work.set({ pinning: { purpose: "erase", at: [work.view.x, -work.view.y] } });
  return el("section", {}, el("h2", {}, "Smudges"),
    work.pinning ? el("p", {}, "Touch the mark in the upper drawing, or move the pin to it with the arrow keys.") : null,
    el("div", { class: "row" }, work.pinning
      ? [button("Erase this mark", erase, { class: "main-thing", "data-key": "erase" }), button("Leave it", () => work.set({ pinning: null }))]
      : button("Erase a smudge", start, { "data-key": "smudge" })));
}

function lines(work) {
  const now = linesNow(work);
  const ends = (height) => [[now.baseline[0][0], height], [now.baseline[1][0], height]];
  const missing = Object.keys(USUAL).filter((name) => !now[name]);
  return el("section", {}, el("h2", {}, "Guidelines"),
    el("p", {}, el("small", {}, "Drag a line or its ends in the upper drawing. Ends are reached with Tab and moved with the arrow keys.")),
    ...Object.keys(now).map((name) => lineIs(work, name, now[name])),
    el("div", { class: "row" },
      button("Right end higher", () => turn(work, 0.1), { "data-key": "higher" }),
      button("Right end lower", () => turn(work, -0.1), { "data-key": "lower" })),
    el("p", {}, el("small", {}, "All lines are turned together, a tenth of a degree at a time.")),
    missing.length ? el("div", { class: "row" }, missing.map((name) => button(`Add the ${GUIDES[name]}`, () => keepLine(work, name, ends(USUAL[name])), { "data-key": `add-${name}` }))) : null);
}

/* Which line it is: another name moves the line to that name, none takes it away. */
function lineIs(work, name, ends) {
  const choices = Object.entries(GUIDES).map(([id, label]) => el("option", { value: id, selected: id === name }, label));
  const pick = el("select", { "data-key": `line-${name}` }, choices, name === "baseline" ? null : el("option", { value: "" }, "no guideline"));
  pick.addEventListener("change", () => {
    const [start, end] = ends.map((p) => onPicture(work, p));
    const other = pick.value;
    const said = other ? `It is the ${GUIDES[other]}` : `The ${GUIDES[name]} is left out`;
    work.correct((c) => ({
      ...c,
      guides: [...c.guides.filter((g) => g.name !== name && g.name !== other), ...(other ? [{ name: other, start, end }] : [])],
      no_guides: [...c.no_guides.filter((g) => g !== name && g !== other), ...(name === "baseline" ? [] : [name])],
    }), said);
  });
  const source = work.study.guides[name]?.source ?? "given";
  return el("label", { class: "field beside" }, el("span", {}, `${GUIDES[name]}, ${source}`), pick);
}

/* Turning the level turns every line about the middle of the word; they are then given by hand. */
function turn(work, deg) {
  const now = linesNow(work);
  const { letters: drawn } = work.study;
  const x0 = (drawn[0].box[0] + drawn.at(-1).box[2]) / 2;
  const angle = (deg * Math.PI) / 180;
  const turned = ([x, y]) => [x0 + (x - x0) * Math.cos(angle) - y * Math.sin(angle), (x - x0) * Math.sin(angle) + y * Math.cos(angle)];
  const guides = Object.entries(now).map(([name, ends]) => {
    const [start, end] = ends.map(turned).map((p) => onPicture(work, p));
    return { name, start, end };
  });
  work.correct((c) => ({ ...c, guides }), "The level is turned");
}

function size(work) {
  const given = work.study.corrections.x_height_mm;
  const input = el("input", { type: "number", step: 0.1, min: 0.5, max: 2000, value: given ?? "", placeholder: work.study.x_height_mm.toFixed(1), "data-key": "size" });
  input.addEventListener("change", () => {
    if (!input.reportValidity()) return;
    work.correct((c) => ({ ...c, x_height_mm: input.value ? input.valueAsNumber : null }), "The x-height is given");
  });
  const source = { page: "from the sheet's edges", resolution: "from the file", given: "given", assumed: "assumed; measure it with a ruler" }[work.study.scale_source];
  return el("section", {}, el("h2", {}, "True size"), field("x-height in mm", input, `Now ${work.study.x_height_mm.toFixed(1)} mm, ${source}.`));
}

function startAgain(work) {
  const { page, line } = readingFields(work.drawing, work.told);
  return el("section", {}, el("h2", {}, "Another place on the sheet"), page, line, button("As it was read", () => work.correct((c) => ({ comments: c.comments }), "As it was read"), { "data-key": "again" }));
}
