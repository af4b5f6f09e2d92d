/* The wall: what the class draws, the tray, and every drawing pinned up with its state. */

import { button, el, field, say } from "./dom.js";
import { createTray } from "./handin.js";
import { address, ask, send } from "./talk.js";
import { progress } from "./waiting.js";

export function createWall(first) {
  const cards = new Map();
  const list = el("ul", { class: "pinned", "aria-label": "Drawings on the wall" });
  const count = el("p", {});
  const home = el("div", { class: "row" },
    el("a", { class: "plain-button", href: address("api/class/together/pin-up.pdf?open"), target: "_blank", rel: "noopener" }, "The pin-up"),
    el("a", { class: "plain-button", href: address("api/class/everything.zip"), download: "" }, "Take all home (ZIP)"));
  const pinUp = home.firstChild;

  const recount = () => {
    const n = cards.size;
    count.textContent = n ? `${n} ${n === 1 ? "drawing" : "drawings"}, kept in ${first.folder}` : `Kept in ${first.folder}`;
    home.hidden = !n;
    pinUp.hidden = n < 2;
    tray.makeSmall(n > 0);
  };
  const update = (drawing, stage) => {
    const card = cards.get(drawing.number) ?? createCard(drawing.number);
    if (!cards.has(drawing.number)) list.append(card.element);
    cards.set(drawing.number, card);
    card.update(drawing, stage);
  };
  const onHanded = (drawing, of) => {
    update(drawing);
    recount();
    // One picture alone is what its owner wants to look at.
    if (of === 1 && cards.size === 1) window.location.hash = `#drawing-${drawing.number}`;
  };

  const tray = createTray(onHanded);

  first.drawings.forEach((d) => update(d));
  const element = el("div", { class: "wall" },
    el("header", { class: "wall-head" },
      el("div", {}, el("h1", {}, "The wall"), count),
      home),
    createTask(first),
    tray.element, list);
  recount();
  return {
    element,
    close() {},
    opened() { document.title = "The wall"; },
    news(item) {
      if (item.drawing) update(item.drawing, item.stage);
      if (item.gone) { cards.get(item.gone)?.element.remove(); cards.delete(item.gone); }
      recount();
    },
  };
}

/* What every picture shows: the word, and the model it was drawn after. */
function createTask(first) {
  const word = el("input", { type: "text", value: first.word ?? "", maxlength: 80, autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  word.addEventListener("change", async () => {
    try {
      await ask("PATCH", "api/class", { word: word.value });
      say(word.value ? "Every drawing is read with this word." : "The word is read from the drawings.");
    } catch (error) { say(error.message); }
  });
  const chosen = el("span", {}, first.model ?? "none");
  const file = el("input", { type: "file", class: "unseen", tabindex: -1, "aria-hidden": "true", accept: ".ttf,.otf,.woff,.woff2,image/*,application/pdf" });
  const none = button("Without a model", async () => {
    try {
      await ask("DELETE", "api/model");
      chosen.textContent = "none";
      none.hidden = true;
    } catch (error) { say(error.message); }
  }, { class: "quiet" });
  none.hidden = !first.model;
  file.addEventListener("change", async () => {
    if (!file.files.length) return;
    try {
      const { model } = await send("PUT", "api/model", file.files[0]);
      chosen.textContent = model;
      none.hidden = false;
    } catch (error) { say(error.message); }
    file.value = "";
  });
  return el("div", { class: "task" },
    field("The word that is drawn", word, "Letters are named and told apart better when it is known."),
    el("div", { class: "field" }, el("span", {}, "Model typeface: ", chosen),
      el("div", { class: "row" }, button("Choose a font or its picture", () => file.click()), none, file),
      el("small", {}, "A font is compared letter by letter, so it needs the word.")));
}

function createCard(number) {
  const picture = el("div", { class: "card-picture" });
  const link = el("a", { href: `#drawing-${number}` });
  const state = el("p", {});
  const off = button("Take off the wall", async () => {
    try { await ask("DELETE", `api/drawings/${number}`); } catch (error) { say(error.message); }
  }, { class: "off quiet" });
  const element = el("li", {}, el("article", { class: "card" }, picture, el("div", { class: "card-text" }, link, state, off)));
  let shown = "";
  return {
    element,
    update(drawing, stage) {
      link.textContent = drawing.name;
      off.setAttribute("aria-label", `Take off the wall: ${drawing.name}`);
      state.className = drawing.state;
      state.replaceChildren(...progress(drawing, stage));
      if (drawing.state === "done" && shown !== "done") {
        picture.replaceChildren(el("img", { src: address(`api/drawings/${number}/thumb.jpg`), alt: "", loading: "lazy", decoding: "async" }));
      }
      shown = drawing.state;
    },
  };
}
