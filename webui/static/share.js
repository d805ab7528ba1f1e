"use strict";
// Passing a make on: print, the answer as text, and its drawing as a picture made on the device.
const PIXELS = 2000; // on the longer side: sharp on paper of a hand's width

const share = document.getElementById("share");
const say = (text) => { share.querySelector("[role=status]").textContent = text; };

share.querySelectorAll("[hidden]").forEach((button) => { button.hidden = false; });

async function copy(text) {
  if (navigator.clipboard) return navigator.clipboard.writeText(text);
  const field = document.createElement("textarea"); // plain http has no clipboard of its own
  field.value = text;
  share.append(field);
  field.select();
  const done = document.execCommand("copy");
  field.remove();
  if (!done) throw new Error("refused");
}

async function picture(address) {
  const image = new Image();
  image.src = address;
  await image.decode();
  const larger = PIXELS / Math.max(image.naturalWidth, image.naturalHeight);
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(image.naturalWidth * larger);
  canvas.height = Math.round(image.naturalHeight * larger);
  const paper = canvas.getContext("2d");
  paper.fillStyle = "#fff";
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => canvas.toBlob(done, "image/png"));
}

share.addEventListener("click", async function (event) {
  const button = event.target.closest("[data-do]");
  if (!button) return;
  if (button.dataset.do === "print") {
    print();
  } else if (button.dataset.do === "copy") {
    try {
      await copy(await (await fetch(button.dataset.from)).text());
      say(button.dataset.copied);
    } catch (_) {
      say(button.dataset.notCopied);
    }
  } else {
    event.preventDefault();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await picture(button.href));
    link.download = button.dataset.name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }
});
