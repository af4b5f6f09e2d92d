/* The table: one drawing as it was drawn and as it is set, and the margin beside it. */

import { button, el } from "./dom.js";
import { grabHand, handMarks, handKey } from "./hands.js";
import { boxAround } from "./plane.js";
import { createSheet, drawSheet } from "./sheet.js";
import { address, ask } from "./talk.js";
import { createView } from "./view.js";
import { waitingTable } from "./waiting.js";
import { createWork } from "./work.js";
import { critiquePanel } from "./panels/critique.js";
import { draftsPanel } from "./panels/drafts.js";
import { homePanel } from "./panels/home.js";
import { setRightPanel } from "./panels/setright.js";
import { spacingPanel } from "./panels/spacing.js";
import { moved } from "./placing.js";

const PANELS = [
  ["critique", "Critique", critiquePanel], ["setright", "Set right", setRightPanel],
  ["spacing", "Spacing", spacingPanel], ["drafts", "Drafts", draftsPanel], ["home", "Take home", homePanel],
];
const LAYERS = [["picture", "Picture"], ["guides", "Guidelines"], ["whites", "Whites"], ["letters", "Letters"], ["model", "Model"], ["notes", "Notes"]];
const KEYS = "Plus and minus magnify, nought shows the whole word, arrow keys move the sheet, Enter goes to the next letter, Shift and Enter to the one before.";

export async function createTable(number) {
  const opened = await ask("GET", `api/drawings/${number}`);
  return opened.study ? readTable(opened) : waitingTable(opened.drawing);
}

function readTable(opened) {
  const upper = createSheet("As drawn", "The word as drawn");
  const lower = createSheet("Evenly set", "The word evenly set");
  const sheets = el("div", { class: "sheets" }, upper.figure, lower.figure);
  const panel = el("div", { class: "panel", role: "tabpanel", tabindex: -1 });
  const redraw = { study: () => { drawAll(); fillPanel(); fillHead(); }, moves: () => { drawAll(); work.onMoves?.(); }, sheets: () => drawAll(), drawing: () => fillHead(), panel: () => { drawAll(); fillPanel(); fillTabs(); }, busy: (on) => sheets.setAttribute("aria-busy", String(on)) };
  const work = createWork(opened, (what, value) => redraw[what](value));
  let scaleDrawn = 0;
  const view = createView((v) => { if ((v.scale >= 0.45) !== (scaleDrawn >= 0.45)) drawAll(); });
  work.view = view;
  const picture = address(`api/drawings/${work.number}/sketch.jpg`);

  function drawAll() {
    scaleDrawn = view.scale;
    const { study, shown, chosen, open, other } = work;
    const still = study.letters.map(() => 0);
    const common = { study, shown, chosen, open, scale: view.scale };
    drawSheet(upper, {
      ...common, moves: still, picture, standing: work.standing(still), comments: study.corrections.comments,
      other: other?.way === "over" ? other : null, hands: () => handMarks(work),
    });
    sheets.classList.toggle("over", other?.way === "over");
    lower.figure.hidden = other?.way === "over";
    const beside = other?.way === "beside" ? other.study : null;
    lower.title.textContent = beside ? other.name : work.placed.size ? "Set by hand" : "Evenly set";
    const moves = beside ? beside.letters.map(() => 0) : work.moves;
    drawSheet(lower, {
      ...common, study: beside ?? study, chosen: beside ? null : chosen, moves, level: !beside,
      // A finding speaks of the letters where they were drawn.
      open: null, picture: beside ? address(`api/drawings/${other.number}/sketch.jpg`) : null,
      standing: beside ? other.standing : work.standing(moves),
    });
    upper.root.classList.toggle("can-choose", ["setright", "spacing"].includes(work.panel));
    lower.root.classList.toggle("can-move", work.panel === "spacing" && !beside);
    view.placeNow();
  }

  const tabs = el("div", { class: "tabs", role: "tablist", "aria-label": "The margin" });
  function fillTabs() {
    const focused = tabs.contains(document.activeElement);
    tabs.replaceChildren(...PANELS.map(([id, label]) => button(label, () => work.set({ panel: id, open: null, cut: null, pinning: null }, "panel"), {
      role: "tab", id: `tab-${id}`, "aria-selected": String(work.panel === id), "aria-controls": "panel", tabindex: work.panel === id ? 0 : -1,
    })));
    if (focused) tabs.querySelector("[aria-selected=true]").focus();
  }
  tabs.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    const at = PANELS.findIndex(([id]) => id === work.panel);
    work.set({ panel: PANELS[(at + step + PANELS.length) % PANELS.length][0], open: null, cut: null, pinning: null }, "panel");
  });
  panel.id = "panel";
  function fillPanel() {
    const key = panel.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    work.onMoves = null;
    panel.setAttribute("aria-labelledby", `tab-${work.panel}`);
    panel.replaceChildren(...PANELS.find(([id]) => id === work.panel)[2](work));
    if (key) (panel.querySelector(`[data-key="${key}"]:not(:disabled)`) ?? panel).focus();
  }

  const undo = button("Undo", () => work.undo(), { "aria-keyshortcuts": "Control+Z" });
  const redo = button("Redo", () => work.redo(), { "aria-keyshortcuts": "Control+Shift+Z" });
  const word = wordField(work);
  const title = el("h1", {}, work.drawing.name);
  function fillHead() {
    undo.disabled = !work.drawing.can_undo;
    redo.disabled = !work.drawing.can_redo;
  }

  const element = el("div", { class: "table" },
    el("header", { class: "table-head" }, el("a", { class: "plain-button", href: "#wall" }, "The wall"), title, word, undo, redo),
    el("div", { class: "light-box" }, sheets, el("div", { class: "under-sheets" }, layerSwitches(work), zoomButtons(view)), el("p", { id: "sheet-keys", class: "unseen" }, KEYS)),
    el("aside", { class: "margin", "aria-label": "The margin" }, tabs, panel));

  const letGo = [
    view.attach(upper.root, handsOn(work, view, true)),
    view.attach(lower.root, handsOn(work, view, false)),
  ];
  const shortcuts = (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || event.target.matches("input[type=text], textarea")) return;
    event.preventDefault();
    if (event.shiftKey) work.redo();
    else work.undo();
  };
  document.addEventListener("keydown", shortcuts);
  return {
    element,
    opened() {
      document.title = `${work.drawing.name} - the desk`;
      view.home = homeBox(work.study);
      drawAll(); fillTabs(); fillPanel(); fillHead();
      requestAnimationFrame(() => view.fit());
    },
    close() { work.keepPlaces(); document.removeEventListener("keydown", shortcuts); letGo.forEach((f) => f()); },
    news(item) {
      if (item.drawing?.number !== work.number) return;
      const again = work.drawing.state !== "done" && item.drawing.state === "done";
      work.told(item.drawing);
      if (again) work.reopen();
    },
  };
}

/* The whole word with its lines and a little air, in display units. */
function homeBox(study) {
  const boxes = study.letters.map((l, i) => [
    l.box[0] + Math.min(0, study.moves_u[i]), l.box[1], l.box[2] + Math.max(0, study.moves_u[i]), l.box[3],
  ]);
  const [x0, y0, x1, y1] = boxAround([...boxes, [0, -150, 1000, 1150]]);
  return [x0 - 450, -y1 - 150, x1 + 250, -y0 + 200];
}

function handsOn(work, view, upper) {
  const choose = (by) => {
    const n = work.study.letters.length;
    const chosen = work.chosen === null ? (by > 0 ? 1 : n) : ((work.chosen - 1 + by + n) % n) + 1;
    work.set({ chosen, cut: null });
  };
  return {
    tap(point, target) {
      if (work.pinning) { if (upper) work.set({ pinning: { ...work.pinning, at: [point[0], -point[1]] } }, "sheets"); return; }
      const letter = Number(target.dataset?.letter) || null;
      if (target.dataset?.comment) work.set({ panel: "critique" }, "panel");
      else if (!target.dataset?.grab) work.set({ chosen: letter, cut: null });
    },
    grab(point, target) {
      if (upper) return grabHand(work, point, target);
      const index = Number(target.dataset?.letter);
      if (work.panel !== "spacing" || !index || work.other?.way === "beside") return null;
      const before = [...work.moves];
      if (work.chosen !== index) work.set({ chosen: index });
      return {
        move([x]) { work.place(moved(before, index, x - point[0]), new Map([[index, true]])); },
        end(givenUp) { if (givenUp) work.place(before, new Map()); },
      };
    },
    key(event) {
      if (handKey(work, event)) return true;
      const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      if (event.key === "Enter") choose(event.shiftKey ? -1 : 1);
      else if (event.key === "Escape") work.set({ chosen: null, cut: null, pinning: null });
      else if (step && work.panel === "spacing" && work.chosen) {
        work.place(moved(work.moves, work.chosen, step * (event.shiftKey ? 50 : 10)), new Map([[work.chosen, true]]));
      } else return false;
      event.preventDefault();
      return true;
    },
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
