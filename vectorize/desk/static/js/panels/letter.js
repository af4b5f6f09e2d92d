/* Going from letter to letter without a mouse. */

import { button, el } from "../dom.js";
import { step } from "../pointing.js";

export function letterStepper(work) {
  const { letters } = work.study;
  const letter = letters[(work.chosen ?? 0) - 1];
  const told = letter ? `${letter.name ?? "unnamed"}, ${letter.index} of ${letters.length}` : "no letter chosen";
  return el("div", { class: "stepper" },
    button("Before", () => step(work, -1), { "data-key": "before", "aria-label": "The letter before" }),
    el("output", { "aria-live": "polite" }, told),
    button("Next", () => step(work, 1), { "data-key": "next", "aria-label": "The next letter" }));
}
