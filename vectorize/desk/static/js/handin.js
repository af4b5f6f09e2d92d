/* Handing in: drop, choose, or photograph; each picture goes to the desk as it is. */

import { ownCamera, photograph } from "./camera.js";
import { button, el, say } from "./dom.js";
import { send } from "./talk.js";

const KINDS = "image/*,.heic,.heif,.tif,.tiff,application/pdf";

export function createTray({ small, onHanded }) {
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
  const tray = el("section", { class: small ? "tray small" : "tray", "aria-labelledby": "tray-title" },
    el("h2", { id: "tray-title" }, small ? "Hand in another drawing" : "Lay a drawing here"),
    small ? null : el("p", {}, "A photograph, scan or PDF of a word in pencil on its guidelines. It stays on this computer."),
    el("div", { class: "row" },
      button("Choose pictures", () => files.click(), { class: "main-thing" }),
      button("Take a photograph", () => (ownCamera() ? photograph((file) => handIn([file])) : camera.click()))),
    state, files, camera);
  acceptDrops(tray, handIn);
  return tray;
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
