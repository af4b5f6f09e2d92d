/* Two drafts: another drawing from the wall, below this one or laid over it. */

import { el, field, say } from "../dom.js";
import { standing } from "../placing.js";
import { address, ask } from "../talk.js";

const WAYS = [["set", "This drawing, evenly spaced, below"], ["beside", "The other draft below"], ["over", "The other draft laid over this one"]];

export function draftsPanel(work) {
  const pick = el("select", { "data-key": "other" }, el("option", { value: "" }, "Choose a drawing"));
  const section = el("section", {}, el("h2", {}, "Two drafts"),
    el("p", {}, el("small", {}, "Both are shown at the same x-height, on the same baseline.")),
    field("The other draft", pick));
  const ways = el("fieldset", { class: "choices" }, el("legend", { class: "unseen" }, "How it is shown"), WAYS.map(([way, label]) => {
    const input = el("input", { type: "radio", name: "way", value: way, checked: (work.other?.way ?? "set") === way, "data-key": `way-${way}`, disabled: !work.other });
    input.addEventListener("change", () => work.set({ other: { ...work.other, way } }));
    return el("label", {}, input, label);
  }));
  const told = el("section", {});
  if (work.other) tell(work, told);
  offer(work, pick);
  pick.addEventListener("change", () => choose(work, Number(pick.value)));
  return [section, el("section", {}, ways), told];
}

const STATES = { gone: "Gone", better: "Better", same: "About the same", worse: "Worse", new: "New" };

/* What became of the critique from the other draft to this one. */
async function tell(work, place) {
  const at = (file) => `api/drawings/${work.number}/after/${work.other.number}/${file}`;
  place.append(el("h2", {}, "From the other draft to this one"), el("p", { role: "status" }, "Both are being compared ..."));
  try {
    const found = await ask("GET", at("progress.json"));
    const parts = Object.entries(STATES).map(([state, title]) => [title, found.changes.filter((c) => c.state === state)]);
    place.replaceChildren(
      el("h2", {}, "From the other draft to this one"), el("p", {}, found.summary),
      ...parts.filter(([, list]) => list.length).flatMap(([title, list]) => [el("h3", {}, title), el("ul", { class: "changes" }, list.map((c) => el("li", {}, c.text)))]),
      el("p", { class: "row" }, el("a", { href: `${address(at("progress.pdf"))}?open`, target: "_blank", rel: "noopener" }, "Open as a PDF"), el("a", { href: address(at("progress.html")), download: "" }, "Save as a page")));
  } catch (error) { place.lastChild.textContent = error.message; }
}

async function offer(work, pick) {
  try {
    const { drawings } = await ask("GET", "api/class");
    const others = drawings.filter((d) => d.number !== work.number && d.state === "done");
    pick.append(...others.map((d) => el("option", { value: d.number, selected: d.number === work.other?.number }, d.name)));
    if (!others.length) pick.firstChild.textContent = "No other drawing is on the wall yet";
  } catch (error) { say(error.message); }
}

async function choose(work, number) {
  if (!number) { work.set({ other: null }); return; }
  try {
    const { drawing, study } = await ask("GET", `api/drawings/${number}?look`);
    const middle = (s) => (s.letters[0].box[0] + s.letters.at(-1).box[2]) / 2;
    const still = study.letters.map(() => 0);
    work.set({ other: {
      number, name: drawing.name, study, way: "beside", standing: standing(study, still), shift: middle(work.study) - middle(study),
    } });
  } catch (error) { say(error.message); }
}
