// Finding while somebody types: the form is sent by itself and the part of the
// answer that changed is put in its place. Without this script the button does.
"use strict";
(() => {
  const form = document.querySelector("form[data-live]");
  if (form) {
    const out = document.querySelector(form.dataset.live);
    let timer = 0, asked = 0, shown = 0;
    const look = async () => {
      const query = new URLSearchParams(new FormData(form)).toString();
      const mine = ++asked;
      try {
        const answer = await fetch(form.action + "?" + query, {headers: {"X-Part": "1"}});
        const text = await answer.text();
        if (!answer.ok || mine < shown) return; // an older answer came late
        shown = mine;
        out.innerHTML = text; // made and escaped by our own server
        document.getElementById("spoken").textContent = out.querySelector("[data-found]")?.textContent ?? "";
        history.replaceState(null, "", form.action + "?" + query);
      } catch { /* without a connection the last hits stay */ }
    };
    form.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(look, 120); });
    form.addEventListener("submit", e => { e.preventDefault(); clearTimeout(timer); look(); });
    form.addEventListener("keydown", e => {
      if (e.key !== "ArrowDown" || e.target.type !== "search") return;
      const first = out.querySelector("a");
      if (first) { e.preventDefault(); first.focus(); }
    });
    out.addEventListener("keydown", e => {
      if (e.key !== "ArrowDown" && e.key !== "ArrowUp") return;
      const links = [...out.querySelectorAll("a")], at = links.indexOf(document.activeElement);
      if (at < 0) return;
      e.preventDefault();
      const next = at + (e.key === "ArrowDown" ? 1 : -1);
      (next < 0 ? form.elements.words : links[Math.min(next, links.length - 1)]).focus();
    });
  }
  const filter = document.querySelector("form[data-filter]");
  if (filter) {
    const rows = [...document.querySelectorAll(filter.dataset.filter + " > li")];
    const count = document.querySelector(filter.dataset.count);
    filter.addEventListener("input", () => {
      const words = filter.elements.words.value.toLowerCase().split(/\s+/);
      let n = 0;
      for (const row of rows) {
        const text = row.textContent.toLowerCase();
        row.hidden = !words.every(w => text.includes(w));
        if (!row.hidden) n++;
      }
      count.textContent = n === rows.length ? `${n} entries` : `${n} of ${rows.length} entries`;
    });
  }
})();
