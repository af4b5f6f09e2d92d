/* The two sheets on the table: above as drawn, below evenly spaced, or another draft. */

import { el } from "./dom.js";
import { handMarks } from "./hands.js";
import { boxAround } from "./plane.js";
import { pointingOn } from "./pointing.js";
import { createSheet, drawSheet, NODES_FROM } from "./sheet.js";
import { address } from "./talk.js";

const sketchOf = (number) => address(`api/drawings/${number}/sketch.jpg`);

export function createSheets(work, view) {
  const upper = createSheet("As drawn", "The word as drawn");
  const lower = createSheet("Evenly spaced", "The word evenly spaced");
  const element = el("div", { class: "sheets" }, upper.figure, lower.figure);
  const letGo = [view.attach(upper.root, pointingOn(work, true)), view.attach(lower.root, pointingOn(work, false))];
  let nodesShown = false;
  const draw = () => {
    const over = work.other?.way === "over";
    nodesShown = view.scale >= NODES_FROM;
    element.classList.toggle("over", over);
    lower.figure.hidden = over;
    drawUpper(upper, work, view);
    drawLower(lower, work, view);
    view.placeNow();
  };
  return {
    element,
    draw,
    /* Nodes come and go with the magnifying; nothing else has to be drawn anew for it. */
    magnified() { if (nodesShown !== view.scale >= NODES_FROM) draw(); },
    close() { letGo.forEach((release) => release()); },
  };
}

function drawUpper(sheet, work, view) {
  const { study, shown, chosen, open, other } = work;
  const still = study.letters.map(() => 0);
  sheet.root.classList.toggle("can-choose", ["setright", "spacing"].includes(work.panel));
  drawSheet(sheet, {
    study, shown, chosen, open, scale: view.scale, moves: still, standing: work.standing(still),
    picture: sketchOf(work.number), comments: study.corrections.comments,
    other: other?.way === "over" ? other : null, hands: () => handMarks(work),
  });
}

function drawLower(sheet, work, view) {
  const { shown, other } = work;
  const beside = other?.way === "beside";
  sheet.root.classList.toggle("can-move", work.panel === "spacing" && !beside);
  sheet.title.textContent = beside ? other.name : work.placed.size ? "Set by hand" : "Evenly spaced";
  // A finding speaks of the letters where they were drawn, so none is shown among those that were set.
  const common = { shown, open: null, scale: view.scale };
  if (beside) {
    const still = other.study.letters.map(() => 0);
    drawSheet(sheet, { ...common, study: other.study, chosen: null, moves: still, standing: other.standing, picture: sketchOf(other.number) });
  } else {
    drawSheet(sheet, { ...common, study: work.study, chosen: work.chosen, moves: work.moves, standing: work.standing(work.moves), level: true });
  }
}

/* The whole word with its lines and a little air, in display units. */
export function homeBox(study) {
  const boxes = study.letters.map((l, i) => [
    l.box[0] + Math.min(0, study.moves_u[i]), l.box[1], l.box[2] + Math.max(0, study.moves_u[i]), l.box[3],
  ]);
  const [x0, y0, x1, y1] = boxAround([...boxes, [0, -150, 1000, 1150]]);
  return [x0 - 450, -y1 - 150, x1 + 250, -y0 + 200];
}

