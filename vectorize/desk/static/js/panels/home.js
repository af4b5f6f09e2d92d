/* What can be taken home: every file, single or together. */

import { el } from "../dom.js";
import { address } from "../talk.js";

const FILES = [
  ["proof.pdf", "The proof", "the critique sheet, to print", true],
  ["practice.pdf", "The practice sheet", "guidelines and the word light, to redraw from", true],
  ["proof.html", "The proof as a page", "to look at closely", true],
  ["comparison.svg", "Drawn and set", "both on one page", true],
  ["original.svg", "As drawn", "the levelled picture and its outlines", false],
  ["corrected.svg", "As set", "the outlines for the final rendering", false],
  ["measures.json", "The measures", "every figure", false],
];

export function homePanel(work) {
  const at = (file) => address(`api/drawings/${work.number}/results/${file}`);
  // What is taken home is what is seen: places that still rest are kept first.
  work.keepPlaces();
  return [
    el("section", {}, el("h2", {}, "Take home"),
      el("ul", { class: "home" }, FILES.map(([file, name, what, shows]) => el("li", {},
        el("span", {}, name, el("small", {}, what)),
        shows ? el("a", { href: `${at(file)}?open`, target: "_blank", rel: "noopener", "aria-label": `Open ${name}` }, "Open") : el("span", {}),
        el("a", { href: at(file), download: "", "aria-label": `Save ${name}, ${file}` }, "Save")))),
      el("p", {}, el("a", { class: "plain-button", href: address(`api/drawings/${work.number}/everything.zip`), download: "" }, "Everything in one ZIP"))),
    el("section", {}, el("h2", {}, "Printing at true size"),
      el("p", {}, "Open the proof or the practice sheet and print it at 100 %, without fitting it to the page. A rule of 100 mm stands on each sheet; lay a ruler to it.")),
  ];
}
