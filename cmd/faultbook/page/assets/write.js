// Checks an entry while it is written, and offers the answers of a question
// that was chosen. Without this script the button does both.
"use strict";
(() => {
  const form = document.querySelector("form[data-check]"), out = document.getElementById("findings");
  let timer = 0, asked = 0;
  const check = async () => {
    const mine = ++asked, data = new URLSearchParams(new FormData(form));
    data.set("do", "check");
    try {
      const answer = await faultbook.request(form.action, {form: data});
      const text = await answer.text();
      if (answer.ok && mine === asked) out.innerHTML = text; // made and escaped by our own server
    } catch { /* without a connection the button says so */ }
  };
  form.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(check, 500); });
  form.addEventListener("change", async e => {
    if (!e.target.matches("input[name=question]")) return;
    const select = e.target.parentElement.querySelector("select[name=answer]");
    try {
      const answer = await faultbook.request("/write/answers?question=" + encodeURIComponent(e.target.value));
      if (answer.ok) select.innerHTML = await answer.text();
    } catch { /* the button does it */ }
  });
})();
