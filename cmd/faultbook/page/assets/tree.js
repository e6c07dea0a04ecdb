// The picture of a decision tree: made larger and smaller by buttons and keys,
// dragged with a mouse. Scrolling, by keys too, is the browser's own. Without
// this script the picture has its natural size.
"use strict";
(() => {
  const box = document.querySelector("[data-zoomed]"), svg = box?.querySelector("svg");
  if (!svg) return;
  const natural = svg.viewBox.baseVal.width, size = document.querySelector("[data-size]");
  let scale = 1;
  for (const e of document.querySelectorAll(".zoom-keys, #zoom-help")) e.hidden = false;
  box.setAttribute("aria-describedby", "zoom-help");
  const set = (wanted, x = box.clientWidth / 2, y = box.clientHeight / 2) => {
    const next = Math.min(4, Math.max(.1, wanted)), ratio = next / scale;
    const left = (box.scrollLeft + x) * ratio - x, top = (box.scrollTop + y) * ratio - y;
    scale = next;
    svg.setAttribute("width", natural * scale);
    svg.setAttribute("height", svg.viewBox.baseVal.height * scale);
    box.scrollTo(left, top);
    size.textContent = Math.round(scale * 100) + " %";
  };
  const act = what => set(what === "in" ? scale * 1.25 : what === "out" ? scale / 1.25 : (box.clientWidth - 2) / natural);
  document.querySelector(".zoom-keys").addEventListener("click", e => {
    const b = e.target.closest("[data-zoom]");
    if (b) act(b.dataset.zoom);
  });
  box.addEventListener("keydown", e => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const what = {"+": "in", "=": "in", "-": "out", "0": "fit"}[e.key];
    if (what) { e.preventDefault(); act(what); }
  });
  box.addEventListener("wheel", e => {
    if (!e.ctrlKey) return;
    e.preventDefault();
    const r = box.getBoundingClientRect();
    set(scale * (e.deltaY < 0 ? 1.1 : 1 / 1.1), e.clientX - r.left, e.clientY - r.top);
  }, {passive: false});
  let from = null;
  box.addEventListener("pointerdown", e => {
    if (e.pointerType !== "mouse" || e.button) return;
    from = {x: e.clientX + box.scrollLeft, y: e.clientY + box.scrollTop};
    box.setPointerCapture(e.pointerId);
  });
  box.addEventListener("pointermove", e => { if (from) box.scrollTo(from.x - e.clientX, from.y - e.clientY); });
  for (const end of ["pointerup", "pointercancel"]) box.addEventListener(end, () => { from = null; });
  set(1);
  box.scrollTo(0, 0);
})();
