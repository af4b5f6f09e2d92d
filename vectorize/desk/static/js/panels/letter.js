/* Going from letter to letter without a mouse. */

import { button, el } from "../dom.js";

export function letterStepper(work) {
  const { letters } = work.study;
  const go = (by) => {
    const n = letters.length;
    const chosen = work.chosen === null ? (by > 0 ? 1 : n) : ((work.chosen - 1 + by + n) % n) + 1;
    work.set({ chosen, cut: null });
  };
  const letter = letters[(work.chosen ?? 0) - 1];
  const told = letter ? `${letter.name ?? "unnamed"}, ${letter.index} of ${letters.length}` : "no letter chosen";
  return el("div", { class: "stepper" },
    button("Before", () => go(-1), { "data-key": "before", "aria-label": "The letter before" }),
    el("output", { "aria-live": "polite" }, told),
    button("Next", () => go(1), { "data-key": "next", "aria-label": "The next letter" }));
}
