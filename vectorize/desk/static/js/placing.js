/* Spacing by hand: pure functions from where the letters stand to where they stand next.
   `moves` holds, letter by letter in reading order, how far each stands from where it was drawn, in letter units. */

import { channels, evenGaps, gapWithWhite, judge, white } from "./rule.js";

/* Gaps of a word in x-heights with the letters where `moves` puts them. */
export function gapsOf(word, moves) {
  return word.spaces.map((_, i) => {
    const [left, right] = [word.letters[i] - 1, word.letters[i + 1] - 1];
    return word.edges[i + 1][0] + moves[right] / 1000 - word.edges[i][1] - moves[left] / 1000;
  });
}

/* Every space of every word as it stands: { left, right, gap, white, excess, verdict, space, edge }. */
export function standing(study, moves) {
  return study.rule.words.flatMap((word) => {
    const gaps = gapsOf(word, moves);
    return judge(word, gaps, study.rule).map((judged, i) => ({
      ...judged,
      left: word.letters[i],
      right: word.letters[i + 1],
      gap: gaps[i],
      space: word.spaces[i],
      edge: word.edges[i][1] + moves[word.letters[i] - 1] / 1000,
    }));
  });
}

/* One letter moved by `by` units. */
export function moved(moves, index, by) {
  return moves.map((m, i) => (i === index - 1 ? m + by : m));
}

/* The whole word tighter (by < 0) or looser: every gap of every word changes by `by` units, each word about its own
   middle, so that the word does not wander over the sheet. */
export function spread(study, moves, by) {
  const next = [...moves];
  for (const word of study.rule.words) {
    word.letters.forEach((index, i) => {
      next[index - 1] += by * (i - (word.letters.length - 1) / 2);
    });
  }
  return next;
}

/* Letters placed by hand stay; the others are set evenly around them. Between two placed letters the room is given, and
   its whites are made alike. Outside them the whites follow those inside. With a single placed letter the whole word
   keeps its width and is set about that letter. */
export function evenTheRest(study, moves, placed) {
  const next = [...moves];
  for (const word of study.rule.words) {
    const firm = word.letters.map((index, i) => (placed.has(index) ? i : -1)).filter((i) => i >= 0);
    const gaps = restGaps(word, gapsOf(word, moves), firm, study.rule);
    const anchor = firm.length ? firm[0] : 0;
    setOut(word, gaps, anchor, moves, next);
  }
  return next;
}

function restGaps(word, gaps, firm, rule) {
  const all = channels(word);
  const even = (from, to) => {
    const total = gaps.slice(from, to).reduce((a, b) => a + b, 0);
    return evenGaps(all.slice(from, to), total, rule);
  };
  if (!gaps.length) return gaps;
  if (firm.length < 2) return even(0, gaps.length);
  const next = [...gaps];
  for (let k = 1; k < firm.length; k += 1) next.splice(firm[k - 1], firm[k] - firm[k - 1], ...even(firm[k - 1], firm[k]));
  const [first, last] = [firm[0], firm[firm.length - 1]];
  const inside = next.slice(first, last).map((g, i) => white(all[first + i], g, rule));
  const common = inside.reduce((a, b) => a + b, 0) / inside.length;
  return next.map((g, i) => (i < first || i >= last ? gapWithWhite(all[i], common, rule) : g));
}

/* From gaps back to moves, outwards from the letter that stays. */
function setOut(word, gaps, anchor, moves, next) {
  const left = word.letters.map(() => 0);
  left[anchor] = word.edges[anchor][0] + moves[word.letters[anchor] - 1] / 1000;
  const width = (i) => word.edges[i][1] - word.edges[i][0];
  for (let i = anchor + 1; i < left.length; i += 1) left[i] = left[i - 1] + width(i - 1) + gaps[i - 1];
  for (let i = anchor - 1; i >= 0; i -= 1) left[i] = left[i + 1] - gaps[i] - width(i);
  word.letters.forEach((index, i) => {
    next[index - 1] = 1000 * (left[i] - word.edges[i][0]);
  });
}
