/* Handing in: drop, choose, or photograph; each picture goes to the desk as it is. */

import { ownCamera, photograph } from "./camera.js";
import { button, el, say } from "./dom.js";
import { send } from "./talk.js";

const KINDS = "image/*,.heic,.heif,.tif,.tiff,application/pdf";

/* The tray, large on an empty wall; what it says of a picture stays while it becomes small. */
export function createTray(onHanded) {
  const pick = (more) => el("input", { type: "file", class: "unseen", tabindex: -1, "aria-hidden": "true", accept: KINDS, ...more });
  const files = pick({ multiple: true });
  const camera = pick({ capture: "environment", accept: "image/*" });
  const state = el("p", { role: "status" });
  const handIn = async (chosen) => {
    const list = [...chosen];
    const refused = [];
    for (const [i, file] of list.entries()) {
      state.textContent = list.length > 1 ? `Handing in ${i + 1} of ${list.length} ...` : "Handing in ...";
      try {
        onHanded(await send("POST", "api/drawings", file), list.length);
      } catch (error) {
        refused.push(`${file.name}: ${error.message}`);
      }
    }
    state.textContent = refused.join(" ");
    if (!refused.length) say(list.length === 1 ? "The drawing is on the wall." : `${list.length} drawings are on the wall.`);
  };
  for (const input of [files, camera]) {
    input.addEventListener("change", async () => { await handIn(input.files); input.value = ""; });
  }
  const title = el("h2", { id: "tray-title" });
  const what = el("p", {}, "A photograph, scan or PDF of a word in pencil on its guidelines. It stays on this computer.");
  const element = el("section", { class: "tray", "aria-labelledby": "tray-title" }, title, what,
    el("div", { class: "row" },
      button("Choose pictures", () => files.click(), { class: "main-thing" }),
      button("Take a photograph", () => (ownCamera() ? photograph((file) => handIn([file])) : camera.click()))),
    state, files, camera);
  acceptDrops(element, handIn);
  const makeSmall = (small) => {
    element.classList.toggle("small", small);
    title.textContent = small ? "Hand in another drawing" : "Lay a drawing here";
    what.hidden = small;
  };
  return { element, makeSmall };
}

/* The whole window takes drops: a picture let fall beside the tray must not replace the page. */
function acceptDrops(tray, handIn) {
  const over = (on) => (event) => {
    if (!tray.isConnected) return;
    event.preventDefault();
    tray.classList.toggle("over", on);
  };
  window.addEventListener("dragover", over(true));
  window.addEventListener("dragleave", over(false));
  window.addEventListener("drop", (event) => {
    if (!tray.isConnected) return;
    over(false)(event);
    if (event.dataTransfer.files.length) handIn(event.dataTransfer.files);
  });
}
