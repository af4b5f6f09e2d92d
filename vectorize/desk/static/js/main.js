/* The page: the wall with all drawings, or one drawing on the table; the address after # says which. */

import { ask, follow } from "./talk.js";
import { el } from "./dom.js";
import { createWall } from "./wall.js";
import { createTable } from "./table.js";

const main = document.getElementById("main");
let room = null;

async function enter() {
  const number = /^#drawing-(\d+)$/.exec(window.location.hash)?.[1];
  if (window.location.hash && !number && window.location.hash !== "#wall") return;
  try {
    const next = number ? await createTable(Number(number)) : createWall(await ask("GET", "api/class"));
    room?.close();
    room = next;
    main.replaceChildren(next.element);
    next.opened?.();
  } catch (error) {
    room?.close();
    room = null;
    main.replaceChildren(el("div", { class: "wall" }, el("h1", {}, "This drawing cannot be opened"), el("p", { role: "alert" }, error.message), el("p", {}, el("a", { href: "#wall" }, "To the wall"))));
  }
}

window.addEventListener("hashchange", enter);
await enter();
follow((news) => room?.news(news), (lost) => { document.getElementById("lost").hidden = !lost; });
