// A file that is dropped anywhere on the page is read at once. Without this
// script it is chosen with the field.
"use strict";
(() => {
  const form = document.querySelector("form[data-drop]");
  document.querySelector("[data-drop-word]").hidden = false;
  const over = on => document.body.classList.toggle("dropping", on);
  const files = e => e.dataTransfer && [...e.dataTransfer.types].includes("Files");
  document.addEventListener("dragover", e => { if (files(e)) { e.preventDefault(); over(true); } });
  document.addEventListener("dragleave", e => { if (!e.relatedTarget) over(false); });
  document.addEventListener("drop", e => {
    if (!files(e)) return;
    e.preventDefault();
    over(false);
    form.elements.file.files = e.dataTransfer.files;
    form.requestSubmit();
  });
})();
