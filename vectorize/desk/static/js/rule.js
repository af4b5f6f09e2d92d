/* The area rule, live: the same arithmetic as vectorize/spacing/white.py, on the rows that the page was given.
   A word is { spaces: [{ left: [depth...], right: [depth...], weight }] }; gaps and whites are x-heights. */

/* Both sides of each space together: what the gap is added to. The weight tells a tall space beside a capital as it
   looks beside the small letters. */
export function channels(word) {
  return word.spaces.map((s) => Object.assign(s.left.map((d, i) => d + s.right[i]), { weight: s.weight }));
}

/* Mean of D^power over the band, and its slope in the gap. Under `touching` the power goes on along its tangent, so
   that letters which overlap still have a white that falls the more they do. */
function crowding(depths, gap, rule) {
  const power = rule.narrowness;
  let sum = 0;
  let slope = 0;
  for (const depth of depths) {
    const channel = gap + depth;
    const open = Math.max(channel, rule.touching);
    const rise = power * open ** (power - 1);
    sum += open ** power + rise * (channel - open);
    slope += rise;
  }
  const share = depths.weight / depths.length;
  return { mean: sum * share, slope: slope * share };
}

/* The width of the straight channel that looks as wide as this space. */
export function white(depths, gap, rule) {
  return crowding(depths, gap, rule).mean ** (1 / rule.narrowness);
}

/* The gap at which a space has this white. */
export function gapWithWhite(depths, wanted, rule) {
  const aim = wanted ** rule.narrowness;
  let gap = wanted - depths.reduce((a, b) => a + b, 0) / depths.length;
  for (let i = 0; i < 60; i += 1) {
    const { mean, slope } = crowding(depths, gap, rule);
    const step = (aim - mean) / slope;
    gap += step;
    if (Math.abs(step) < 1e-12) break;
  }
  return gap;
}

/* Gaps with one common white that add up to `total`; each step of Newton's method keeps the sum. */
export function evenGaps(all, total, rule) {
  const narrowest = all.map((depths) => Math.min(...depths));
  const level = (total + narrowest.reduce((a, b) => a + b, 0)) / all.length;
  let gaps = narrowest.map((n) => level - n);
  for (let i = 0; i < 60; i += 1) {
    const now = all.map((depths, k) => crowding(depths, gaps[k], rule));
    const common = now.reduce((a, c) => a + c.mean / c.slope, 0) / now.reduce((a, c) => a + 1 / c.slope, 0);
    const steps = now.map((c) => (common - c.mean) / c.slope);
    gaps = gaps.map((g, k) => g + steps[k]);
    if (Math.max(...steps.map(Math.abs)) < 1e-12) break;
  }
  const missing = (total - gaps.reduce((a, b) => a + b, 0)) / all.length;
  return gaps.map((g) => g + missing);
}

function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/* Each space judged beside the word's median white, which one bad space does not shift. */
export function judge(word, gaps, rule) {
  const all = channels(word);
  const whites = all.map((depths, i) => white(depths, gaps[i], rule));
  if (!whites.length) return [];
  const middle = median(whites);
  return whites.map((value, i) => {
    const excess = gaps[i] - gapWithWhite(all[i], middle, rule);
    const verdict = Math.abs(excess) <= rule.even_within ? "even" : excess > 0 ? "wide" : "tight";
    return { white: value, excess, verdict };
  });
}

/* The white that is counted, as a closed polygon in letter units: up the left letter's side, down the right one's.
   edge: right end of the left letter's box where it now stands, x-heights. */
export function whiteShape(space, edge, gap, rule) {
  const rows = space.left.length;
  const low = rule.bottom + space.first_row * rule.row;
  const up = [];
  const down = [];
  for (let i = 0; i < rows; i += 1) {
    const from = edge - space.left[i];
    const to = edge + gap + space.right[i];
    const middle = (from + to) / 2;
    const y = i === 0 ? low : i === rows - 1 ? low + rows * rule.row : low + (i + 0.5) * rule.row;
    up.push([1000 * Math.min(from, middle), 1000 * y]);
    down.push([1000 * Math.max(to, middle), 1000 * y]);
  }
  return up.concat(down.reverse());
}
