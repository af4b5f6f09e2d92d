/* What the pointer and the keys do on a sheet: choose a letter, move it, take hold of what `hands.js` offers. */

import { grabHand, handKey } from "./hands.js";
import { moved } from "./placing.js";

const FINE = 10; // letter units an arrow key moves a letter: a hundredth of the x-height
const COARSE = 50; // with Shift

/* The letter before or after the chosen one, round the word. */
export function step(work, by) {
  const n = work.study.letters.length;
  const chosen = work.chosen === null ? (by > 0 ? 1 : n) : ((work.chosen - 1 + by + n) % n) + 1;
  work.set({ chosen, cut: null });
}

export function pointingOn(work, upper) {
  return {
    tap: (point, target) => tap(work, upper, point, target),
    grab: (point, target) => (upper ? grabHand(work, point, target) : grabLetter(work, point, target)),
    key: (event) => handKey(work, event) || letterKey(work, event),
  };
}

function tap(work, upper, [x, y], target) {
  if (work.pinning) {
    if (upper) work.set({ pinning: { ...work.pinning, at: [x, -y] } }, "sheets");
  } else if (target.dataset?.comment) {
    work.set({ panel: "critique" }, "panel");
  } else if (!target.dataset?.grab) {
    work.set({ chosen: Number(target.dataset?.letter) || null, cut: null });
  }
}

function grabLetter(work, point, target) {
  const index = Number(target.dataset?.letter);
  if (work.panel !== "spacing" || !index || work.other?.way === "beside") return null;
  const before = [...work.moves];
  if (work.chosen !== index) work.set({ chosen: index });
  return {
    move([x]) { work.place(moved(before, index, x - point[0]), new Map([[index, true]])); },
    end(givenUp) { if (givenUp) work.place(before, new Map()); },
  };
}

function letterKey(work, event) {
  const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  if (event.key === "Enter") step(work, event.shiftKey ? -1 : 1);
  else if (event.key === "Escape") work.set({ chosen: null, cut: null, pinning: null });
  else if (way && work.panel === "spacing" && work.chosen) {
    work.place(moved(work.moves, work.chosen, way * (event.shiftKey ? COARSE : FINE)), new Map([[work.chosen, true]]));
  } else return false;
  event.preventDefault();
  return true;
}
