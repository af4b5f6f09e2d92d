/* Making elements without strings of markup, which the page's policy forbids. */

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name in node && typeof value === "boolean") node[name] = value;
    else if (name === "value") node.value = value;
    else node.setAttribute(name, value);
  }
  node.append(...children.flat().filter((c) => c !== null && c !== undefined));
  return node;
}

export const el = (tag, attributes = {}, ...children) => fill(document.createElement(tag), attributes, children);
export const svg = (tag, attributes = {}, ...children) => fill(document.createElementNS(SVG, tag), attributes, children);

export const button = (label, onclick, more = {}) => el("button", { type: "button", onclick, ...more }, label);

/* A labelled field; the label is part of it, so that a click on the words reaches it too. */
export function field(label, input, hint) {
  return el("label", { class: "field" }, el("span", {}, label), input, hint ? el("small", {}, hint) : null);
}

/* Said by a screen reader, and shown for a while at the foot of the page. */
export function say(text) {
  const place = document.getElementById("said");
  place.textContent = text;
  clearTimeout(say.timer);
  say.timer = setTimeout(() => { place.textContent = ""; }, 6000);
}
