"use strict";
// A photograph is made smaller on the device before it is sent: upright, as JPEG, and so without what its camera noted.
const QUALITY = 0.85, LOWEST = 0.55, STEP = 0.1, SMALLER = 0.8, SIDE = 2400;

function drawn(picture, side) {
  const share = Math.min(1, side / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * share));
  canvas.height = Math.max(1, Math.round(picture.height * share));
  const paper = canvas.getContext("2d");
  paper.fillStyle = "#fff"; // a PNG may be clear somewhere; a JPEG is not
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

const written = (canvas, quality) => new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));

async function smaller(file, form) {
  const picture = await createImageBitmap(file, {imageOrientation: "from-image"});
  const most = Number(form.dataset.bytes);
  for (let side = Math.min(SIDE, Number(form.dataset.pixels)); ; side *= SMALLER) {
    const canvas = drawn(picture, side);
    for (let quality = QUALITY; quality >= LOWEST; quality -= STEP) {
      const photograph = await written(canvas, quality);
      if (photograph.size <= most) return photograph;
    }
  }
}

document.addEventListener("change", async function (event) {
  const input = event.target, form = input.form;
  if (input.type !== "file" || !form || !("photograph" in form.dataset) || !input.files.length) return;
  const told = form.querySelector("[role=status]");
  told.textContent = form.dataset.shrinking;
  try {
    const files = new DataTransfer();
    files.items.add(new File([await smaller(input.files[0], form)], "photograph.jpg", {type: "image/jpeg"}));
    input.files = files.files;
  } catch (_) {
    told.textContent = form.dataset.unread;
    input.value = "";
    return;
  }
  form.submit();
});
