/* A drawing that is not read yet, or could not be: how far it is, what was wrong, and what can be told anew. */

import { button, el, field, say } from "./dom.js";
import { ask } from "./talk.js";

/* In the order they come, with the share of the time that has gone when each begins. */
const STAGES = {
  photo: ["Opening the picture", 0], sheet: ["Finding the sheet", 0.03], lines: ["Following the lines", 0.3],
  ink: ["Telling ink from paper", 0.45], letters: ["Telling the letters apart", 0.58], outlines: ["Drawing the outlines", 0.66],
  measures: ["Measuring the letters", 0.75], spaces: ["Weighing the whites", 0.86], critique: ["Looking it over", 0.87],
  writing: ["Writing the sheets", 0.88],
};

/* What a drawing's state is called, and its bar while it is being read. */
export function progress(drawing, stage) {
  if (drawing.state === "failed") return [drawing.message];
  if (drawing.state === "waiting") return ["Waiting to be read"];
  if (drawing.state !== "reading") return [drawing.message || drawing.word || ""];
  const [said, gone] = STAGES[stage] ?? STAGES.photo;
  return [`${said} `, el("progress", { max: 1, value: gone, "aria-label": `Progress of ${drawing.name}` })];
}

/* Word, page and line are what a reading starts from; another one means reading anew. */
export function readingFields(drawing, onSent) {
  const send = async (changes) => {
    try {
      onSent(await ask("PATCH", `api/drawings/${drawing.number}`, changes));
    } catch (error) { say(error.message); }
  };
  const number = (key, label, hint) => {
    const input = el("input", { type: "number", min: 1, max: 9999, step: 1, value: drawing[key] ?? "", "data-key": key });
    input.addEventListener("change", () => { if (input.reportValidity()) send({ [key]: input.value ? input.valueAsNumber : null }); });
    return field(label, input, hint);
  };
  return {
    send,
    page: number("page", "Page of the file, from 1"),
    line: number("line", "Line of lettering, from the top", "Left empty, the largest is read."),
  };
}

export function waitingTable(first) {
  const state = el("div", { role: "status", class: "row" });
  const again = el("div", { class: "task" });
  const show = (drawing, stage) => {
    state.replaceChildren(...progress(drawing, stage));
    again.hidden = drawing.state !== "failed";
  };
  const fields = readingFields(first, show);
  const word = el("input", { type: "text", value: first.word ?? "", maxlength: 80, autocomplete: "off", spellcheck: "false" });
  again.append(field("The word that is drawn", word), fields.page, fields.line,
    button("Read it again", () => fields.send({ word: word.value }), { class: "main-thing" }));
  show(first);
  return {
    element: el("div", { class: "wall" }, el("p", {}, el("a", { href: "#wall" }, "To the wall")), el("h1", {}, first.name), state, again),
    close() {},
    opened() { document.title = first.name; },
    news(item) {
      if (item.drawing?.number !== first.number) return;
      if (item.drawing.state === "done") window.dispatchEvent(new HashChangeEvent("hashchange"));
      else show(item.drawing, item.stage);
    },
  };
}
