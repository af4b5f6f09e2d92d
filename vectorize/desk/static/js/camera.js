/* A photograph taken with the camera of this computer. A telephone's own camera program takes better ones, so there the
   file field with `capture` is used instead. */

import { button, el, say } from "./dom.js";

/* Whether the page itself should take the photograph. */
export const ownCamera = () => Boolean(navigator.mediaDevices?.getUserMedia) && !window.matchMedia("(pointer: coarse)").matches;

/* As much of the sheet as the camera can give; browsers take the nearest they have. */
const WANTED = { video: { facingMode: "environment", width: { ideal: 4096 }, height: { ideal: 3072 } } };

/* Opens the camera; `onTaken` gets the photograph as a file. */
export async function photograph(onTaken) {
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia(WANTED);
  } catch {
    say("No camera can be used here. Photograph the sheet with a telephone and choose the picture.");
    return;
  }
  const seen = el("video", { autoplay: true, playsinline: "", muted: true, "aria-label": "What the camera sees" });
  seen.srcObject = stream;
  const dialog = el("dialog", { class: "camera", "aria-label": "Take a photograph" }, seen,
    el("p", {}, "Hold the camera straight over the sheet, so that the word and the edges of the paper are seen."),
    el("div", { class: "row" },
      button("Take it", async () => { const file = await still(seen); dialog.close(); onTaken(file); }, { class: "main-thing" }),
      button("Leave it", () => dialog.close())));
  dialog.addEventListener("close", () => { stream.getTracks().forEach((track) => track.stop()); dialog.remove(); });
  document.body.append(dialog);
  dialog.showModal();
}

async function still(seen) {
  if (!seen.videoWidth) await new Promise((ready) => { seen.addEventListener("loadeddata", ready, { once: true }); });
  const canvas = el("canvas", { width: seen.videoWidth, height: seen.videoHeight });
  canvas.getContext("2d").drawImage(seen, 0, 0);
  const picture = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", 0.95); });
  const when = new Date().toISOString().slice(0, 19).replaceAll(":", "-");
  return new File([picture], `photograph ${when}.jpg`, { type: "image/jpeg" });
}
