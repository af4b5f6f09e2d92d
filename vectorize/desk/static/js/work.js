/* The drawing on the table: what was read, what the hand has changed, and the way both are kept. */

import { ask } from "./talk.js";
import { say } from "./dom.js";
import { standing } from "./placing.js";

const REST = 350; // ms without a move before letters placed by hand are kept

export function createWork(opened, onChange) {
  const number = opened.drawing.number;
  const work = {
    number, chosen: null, panel: "critique", open: null, other: null, cut: null, pinning: null, lines: null,
    shown: { picture: true, guides: true, whites: true, letters: true, model: true, notes: true },
  };
  let line = Promise.resolve();
  let resting = null;

  const take = ({ drawing, study }) => {
    work.drawing = drawing;
    if (study) {
      work.study = study;
      if (!resting) [work.moves, work.placed] = [[...study.moves_u], placedLetters(study)];
      if (work.moves.length !== study.letters.length) [work.moves, work.placed] = [[...study.moves_u], placedLetters(study)];
      if (work.chosen > study.letters.length) work.chosen = null;
    }
    work.lines = null;
    work.cut = null;
  };
  take(opened);

  /* One after another: each correction builds on what the one before it gave. */
  const inTurn = (step, said) => {
    line = line.then(async () => {
      onChange("busy", true);
      try {
        take(await step());
        if (said) say(said);
      } catch (error) {
        work.lines = null;
        say(error.message);
      }
      onChange("busy", false);
      onChange("study");
    });
    return line;
  };
  const path = `api/drawings/${number}`;

  return Object.assign(work, {
    set(changes, what = "study") { Object.assign(work, changes); onChange(what); },
    correct: (change, said) => inTurn(() => ask("PUT", `${path}/corrections`, change(structuredClone(work.study.corrections))), said),
    undo: () => inTurn(() => ask("POST", `${path}/step/undo`), "Undone"),
    redo: () => inTurn(() => ask("POST", `${path}/step/redo`), "Done again"),
    reopen: () => inTurn(() => ask("GET", path)),
    told(drawing, stage) { Object.assign(work, { drawing, stage }); onChange("drawing"); },

    /* Letters placed: seen at once, kept when the hand rests. */
    place(moves, marks) {
      work.moves = moves;
      marks.forEach((byHand, index) => work.placed.set(index, byHand));
      clearTimeout(resting);
      resting = setTimeout(work.keepPlaces, REST);
      onChange("moves");
    },
    keepPlaces() {
      if (!resting) return line;
      clearTimeout(resting);
      const placed = [...work.placed].map(([index, byHand]) => ({
        at: work.study.letters[index - 1].at, move_u: work.moves[index - 1], by_hand: byHand,
      }));
      const kept = resting;
      return work.correct((c) => { if (resting === kept) resting = null; return { ...c, placed }; });
    },
    asTheRuleSetsIt() {
      clearTimeout(resting);
      resting = null;
      return work.correct((c) => ({ ...c, placed: [] }), "Set by the rule");
    },
    standing: (moves) => standing(work.study, moves),
  });
}

/* Which letters the kept places mean: index -> whether the hand put it there. */
function placedLetters(study) {
  const marks = new Map();
  for (const place of study.corrections.placed) {
    const far = study.letters.map((l) => Math.hypot(l.at[0] - place.at[0], l.at[1] - place.at[1]));
    if (far.length) marks.set(far.indexOf(Math.min(...far)) + 1, place.by_hand);
  }
  return marks;
}
