/* The table: one drawing as it was drawn and as it is set, and the margin beside it. */

import { button, el } from "./dom.js";
import { createMargin } from "./margin.js";
import { createSheets, homeBox } from "./sheets.js";
import { ask } from "./talk.js";
import { createView } from "./view.js";
import { progress, waitingTable } from "./waiting.js";
import { createWork } from "./work.js";

const LAYERS = [["picture", "Picture"], ["guides", "Guidelines"], ["whites", "Whites"], ["letters", "Letters"], ["model", "Model"], ["notes", "Notes"]];
const KEYS = "Plus and minus magnify, nought shows the whole word, arrow keys move the sheet, Enter goes to the next letter, Shift and Enter to the one before.";

export async function createTable(number) {
  const opened = await ask("GET", `api/drawings/${number}`);
  return opened.study ? readTable(opened) : waitingTable(opened.drawing);
}

function readTable(opened) {
  let sheets = null;
  let margin = null;
  let head = null;
  /* What has to be drawn anew after each kind of change. */
  const redraw = {
    study() { sheets.draw(); margin.fillPanel(); head.fill(); },
    panel() { sheets.draw(); margin.fillPanel(); margin.fillTabs(); },
    moves() { sheets.draw(); work.onMoves?.(); },
    sheets() { sheets.draw(); },
    drawing() { head.fill(); },
    busy(on) { sheets.element.setAttribute("aria-busy", String(on)); },
  };
  const work = createWork(opened, (what, value) => redraw[what](value));
  const view = createView(() => sheets.magnified());
  work.view = view;
  sheets = createSheets(work, view);
  margin = createMargin(work);
  head = createHead(work);
  const element = el("div", { class: "table" }, head.element,
    el("div", { class: "light-box" }, sheets.element,
      el("div", { class: "under-sheets" }, layerSwitches(work), zoomButtons(view)),
      el("p", { id: "sheet-keys", class: "unseen" }, KEYS)),
    margin.element);
  const undoKeys = undoByKey(work);
  document.addEventListener("keydown", undoKeys);
  return {
    element,
    opened() {
      document.title = `${work.drawing.name} - the desk`;
      view.home = homeBox(work.study);
      redraw.panel();
      head.fill();
      requestAnimationFrame(() => view.fit());
    },
    close() { work.keepPlaces(); document.removeEventListener("keydown", undoKeys); sheets.close(); },
    news({ drawing, stage }) {
      if (drawing?.number !== work.number) return;
      // Read anew by the desk, because the word or the model changed.
      const again = work.drawing.state !== "done" && drawing.state === "done";
      work.told(drawing, stage);
      if (again) work.reopen();
    },
  };
}

function createHead(work) {
  const undo = button("Undo", () => work.undo(), { "aria-keyshortcuts": "Control+Z" });
  const redo = button("Redo", () => work.redo(), { "aria-keyshortcuts": "Control+Shift+Z" });
  const state = el("p", { class: "state", role: "status" });
  return {
    element: el("header", { class: "table-head" }, el("a", { class: "plain-button", href: "#wall" }, "The wall"), el("h1", {}, work.drawing.name), state, wordField(work), undo, redo),
    fill() {
      const { drawing } = work;
      state.replaceChildren(...(drawing.state === "done" ? [drawing.message] : progress(drawing, work.stage)));
      undo.disabled = !work.drawing.can_undo;
      redo.disabled = !work.drawing.can_redo;
    },
  };
}

/* Where text is written, the browser's own undo of the text is meant. */
function undoByKey(work) {
  return (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || event.target.matches("input[type=text], textarea")) return;
    event.preventDefault();
    if (event.shiftKey) work.redo();
    else work.undo();
  };
}

function wordField(work) {
  const input = el("input", { type: "text", value: work.drawing.word ?? work.study.word ?? "", maxlength: 80, autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  input.addEventListener("change", async () => {
    try {
      work.told(await ask("PATCH", `api/drawings/${work.number}`, { word: input.value }));
    } catch (error) { input.setCustomValidity(error.message); input.reportValidity(); }
  });
  return el("label", { class: "word" }, "Word", input);
}

function layerSwitches(work) {
  const layers = LAYERS.filter(([id]) => id !== "model" || work.study.model);
  return el("fieldset", { class: "layers" }, el("legend", {}, "Show"), layers.map(([id, label]) => {
    const box = el("input", { type: "checkbox", checked: work.shown[id] });
    box.addEventListener("change", () => work.set({ shown: { ...work.shown, [id]: box.checked } }, "sheets"));
    return el("label", {}, box, label);
  }));
}

function zoomButtons(view) {
  return el("div", { class: "zoom", role: "group", "aria-label": "Magnify" },
    button("−", () => view.zoom(1 / 1.5), { "aria-label": "Smaller" }),
    button("Whole word", () => view.fit()),
    button("+", () => view.zoom(1.5), { "aria-label": "Larger" }));
}
