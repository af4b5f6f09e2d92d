/* Points and maps between the drawing's letter units and the picture's pixels. */

/* A homography given as nine numbers, row by row, applied to a point. */
function flatly(h, [x, y]) {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/* The map back (adjugate; its scale does not matter to a homography). */
function turned(h) {
  const [a, b, c, d, e, f, g, i, j] = h;
  return [
    e * j - f * i, c * i - b * j, b * f - c * e,
    f * g - d * j, a * j - c * g, c * d - a * f,
    d * i - e * g, b * g - a * i, a * e - b * d,
  ];
}

/* What a bent picture is off the homography at a point: read off a table over a box, straight between its places. */
function offFlat(bent, [x, y]) {
  if (!bent) return [0, 0];
  const { box: [x0, y0, x1, y1], left } = bent;
  const place = (share, steps) => {
    const at = clamp(share, 0, 1) * steps;
    const first = Math.min(Math.floor(at), steps - 1);
    return [first, at - first];
  };
  const [i, s] = place((x - x0) / (x1 - x0), left[0].length - 1);
  const [j, t] = place((y - y0) / (y1 - y0), left.length - 1);
  return [0, 1].map((k) => (1 - t) * ((1 - s) * left[j][i][k] + s * left[j][i + 1][k])
    + t * ((1 - s) * left[j + 1][i][k] + s * left[j + 1][i + 1][k]));
}

/* A point of the drawing in the picture. */
export function through({ flat, bent }, p) {
  const [[x, y], [dx, dy]] = [flatly(flat, p), offFlat(bent, p)];
  return [x + dx, y + dy];
}

/* A point of the picture in the drawing: the bend is small, so that a few steps find the place. */
export function back({ flat, bent }, [x, y]) {
  const home = turned(flat);
  let p = flatly(home, [x, y]);
  for (let i = 0; bent && i < 8; i += 1) {
    const [dx, dy] = offFlat(bent, p);
    p = flatly(home, [x - dx, y - dy]);
  }
  return p;
}

export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

export function boxAround(boxes) {
  return boxes.reduce(([x0, y0, x1, y1], b) => [
    Math.min(x0, b[0]), Math.min(y0, b[1]), Math.max(x1, b[2]), Math.max(y1, b[3]),
  ]);
}
