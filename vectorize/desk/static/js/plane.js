/* Points and maps between the drawing's letter units and the picture's pixels. */

/* A homography given as nine numbers, row by row, applied to a point. */
export function through(h, [x, y]) {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/* The map back (adjugate; its scale does not matter to a homography). */
export function backwards(h) {
  const [a, b, c, d, e, f, g, i, j] = h;
  return [
    e * j - f * i, c * i - b * j, b * f - c * e,
    f * g - d * j, a * j - c * g, c * d - a * f,
    d * i - e * g, b * g - a * i, a * e - b * d,
  ];
}

export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

export function boxAround(boxes) {
  return boxes.reduce(([x0, y0, x1, y1], b) => [
    Math.min(x0, b[0]), Math.min(y0, b[1]), Math.max(x1, b[2]), Math.max(y1, b[3]),
  ]);
}
