/* The margin beside the drawings: five tabs, one thing at a time. */

import { button, el } from "./dom.js";
import { critiquePanel } from "./panels/critique.js";
import { draftsPanel } from "./panels/drafts.js";
import { homePanel } from "./panels/home.js";
import { setRightPanel } from "./panels/setright.js";
import { spacingPanel } from "./panels/spacing.js";

const PANELS = [
  ["critique", "Critique", critiquePanel], ["setright", "Set right", setRightPanel],
  ["spacing", "Spacing", spacingPanel], ["drafts", "Drafts", draftsPanel], ["home", "Take home", homePanel],
];

export function createMargin(work) {
  const tabs = el("div", { class: "tabs", role: "tablist", "aria-label": "The margin" });
  const panel = el("div", { class: "panel", id: "panel", role: "tabpanel", tabindex: -1 });
  const open = (id) => work.set({ panel: id, open: null, cut: null, pinning: null }, "panel");
  tabs.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const at = PANELS.findIndex(([id]) => id === work.panel);
    if (step) open(PANELS[(at + step + PANELS.length) % PANELS.length][0]);
  });
  return {
    element: el("aside", { class: "margin", "aria-label": "The margin" }, tabs, panel),
    fillTabs: () => fillTabs(work, tabs, open),
    fillPanel: () => fillPanel(work, panel),
  };
}

function fillTabs(work, tabs, open) {
  const focused = tabs.contains(document.activeElement);
  tabs.replaceChildren(...PANELS.map(([id, label]) => button(label, () => open(id), {
    role: "tab", id: `tab-${id}`, "aria-selected": String(work.panel === id), "aria-controls": "panel", tabindex: work.panel === id ? 0 : -1,
  })));
  if (focused) tabs.querySelector("[aria-selected=true]").focus();
}

/* Filled anew after each change; whoever was in the middle of it by keyboard stays where they were. */
function fillPanel(work, panel) {
  const key = panel.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  work.onMoves = null;
  panel.setAttribute("aria-labelledby", `tab-${work.panel}`);
  panel.replaceChildren(...PANELS.find(([id]) => id === work.panel)[2](work));
  if (key) (panel.querySelector(`[data-key="${key}"]:not(:disabled)`) ?? panel).focus();
}
