"use strict";
// A call without reloading: inputs are sent by themselves and the call is put in
// place anew; words are listened to while they are typed; what cannot be sent is
// kept in this browser and sent later, once.

(() => {
  const { store, request, say, setLink, newKey, showActs } = faultbook;
  const parse = html => new DOMParser().parseFromString(html, "text/html");
  const call = () => document.getElementById("call");
  const caseID = call() ? call().dataset.case : "";
  const queueName = "queue-" + caseID;
  const queue = () => store.get(queueName) || [];

  // --- putting the call in place -------------------------------------------

  function put(html, focus) {
    const next = parse(html).getElementById("call");
    if (!next) return false;
    const old = call();
    const active = document.activeElement;
    const typing = active && old.contains(active) && active.matches("textarea, input:not([type=hidden]), select") ? active.id : "";
    const texts = [...old.querySelectorAll("textarea, .act-grid input[type=number], #close-note")].map(t => [t.id, t.value, t.selectionStart]);
    const open = [...old.querySelectorAll(".act-grid details[open] > summary")].map(s => s.dataset.key);
    madeAt = performance.now();
    old.replaceWith(document.adoptNode(next));
    for (const [id, value] of texts) {
      const field = document.getElementById(id);
      if (field && value && !field.value) field.value = value;
    }
    showActs(call());
    showWaiting();
    if (next.dataset.mine === "false" && old.dataset.mine === "true") say(next.dataset.holder + " has this call now.");
    document.title = call().querySelector("h1").textContent + " – faultbook";
    const notice = document.getElementById("notice");
    if (typing && !notice && focus !== "step") {
      for (const k of open) { const s = call().querySelector('summary[data-key="' + k + '"]'); if (s) s.parentElement.open = true; }
      const field = document.getElementById(typing), was = texts.find(t => t[0] === typing);
      if (field) { field.focus({ preventScroll: true }); if (was && was[2] != null && field.setSelectionRange && field.type !== "number") field.setSelectionRange(was[2], was[2]); }
      return true;
    }
    if (notice) notice.focus(); else if (focus) toStep();
    return true;
  }

  // toStep brings the step before the eye and the voice.
  function toStep() {
    const head = document.getElementById("step-head"), said = document.querySelector("#step .say");
    head.focus({ preventScroll: true });
    const top = head.getBoundingClientRect().top;
    if (top < 0 || top > innerHeight * .5) document.getElementById("step").scrollIntoView({ block: "start" });
    const caution = document.querySelector("#step .caution-say");
    say(head.textContent.trim() + ". " + (caution ? caution.textContent + " " : "") + said.textContent);
  }

  // --- sending -------------------------------------------------------------

  // One input is on its way at a time; the others wait in the queue.
  let busy = false;

  function submit(event) {
    const form = event.target;
    if (!form.matches("form[data-live]") || !window.fetch) return;
    event.preventDefault();
    const fields = new URLSearchParams(new FormData(form, event.submitter));
    fields.delete("token");
    fields.set("key", newKey());
    const bound = !["say", "note"].includes(fields.get("do"));
    if (bound && (busy || queue().length)) {
      return say("The last input is still on its way.");
    }
    const field = form.querySelector("textarea[name=text]");
    if (field) { clearDraft(form); field.value = ""; hush(); }
    const item = { url: form.getAttribute("action"), body: fields.toString(), label: label(form, event.submitter, fields) };
    store.set(queueName, [...queue(), item]);
    kept = kept || !store.get(queueName);
    if (event.submitter) event.submitter.classList.add("is-chosen");
    flush(item);
  }

  // Where nothing can be stored the input is sent all the same.
  let kept = false;

  function label(form, submitter, fields) {
    return fields.get("text") || (submitter ? submitter.textContent.replace(/\s+/g, " ").trim() : "an input");
  }

  // flush sends what waits, oldest first, until it is gone or the desk is away.
  async function flush(item) {
    if (busy) return;
    busy = true;
    const late = setTimeout(showWaiting, 400);
    try {
      for (let next = queue()[0] || (kept ? item : null); next; next = queue()[0]) {
        if (!await send(next)) break;
      }
    } finally {
      busy = false;
      clearTimeout(late);
      showWaiting();
    }
  }

  async function send(item) {
    let answer, text;
    try {
      answer = await request(item.url, { form: new URLSearchParams(item.body) });
      text = await answer.text();
    } catch {
      setLink(false, queue().length);
      return false;
    }
    if (answer.status === 429 || answer.status >= 502) return false; // sent again at the next look
    if (answer.status === 401) { location.reload(); return false; }
    const left = queue().filter(q => q.body !== item.body);
    if (left.length) store.set(queueName, left); else store.drop(queueName);
    kept = false;
    setLink(true, queue().length);
    if (!put(text, new URLSearchParams(item.body).get("do") === "say" ? "typing" : "step")) {
      giveBack(item, text);
    } else if (!answer.ok) {
      giveBack(item, "");
    }
    return true;
  }

  // flushOthers sends what was kept for calls that are not on this page. Words
  // that their desk does not take wait in those calls as drafts.
  async function flushOthers() {
    for (const name of store.names()) {
      if (!name.startsWith("queue-") || name === queueName) continue;
      for (const item of store.get(name) || []) {
        try {
          const answer = await request(item.url, { form: new URLSearchParams(item.body) });
          if (answer.status === 401 || answer.status === 429 || answer.status >= 502) return;
          const text = new URLSearchParams(item.body).get("text");
          if (!answer.ok && text) store.set("draft-" + name.slice(6), { text, at: Date.now() });
        } catch { return; }
        store.set(name, (store.get(name) || []).filter(q => q.body !== item.body));
      }
      store.drop(name);
    }
  }

  // giveBack puts words that were not taken back where they were typed.
  function giveBack(item, text) {
    const fields = new URLSearchParams(item.body);
    const field = document.getElementById(fields.get("do") === "note" ? "note" : "words");
    if (fields.get("text") && field && !field.value && ["say", "note"].includes(fields.get("do"))) field.value = fields.get("text");
    if (text) alertLine(text + " Not taken: " + item.label);
  }

  function alertLine(text) {
    let line = document.getElementById("notice");
    if (!line) {
      line = document.createElement("p");
      line.id = "notice"; line.className = "notice"; line.tabIndex = -1; line.setAttribute("role", "alert");
      call().prepend(line);
    }
    line.textContent = text;
    line.focus();
  }

  // showWaiting lists what is kept here and not sent yet.
  function showWaiting() {
    const list = queue();
    let box = document.getElementById("waiting");
    if (!list.length) { if (box) box.remove(); return; }
    if (!call()) return;
    if (!box) {
      box = document.createElement("div");
      box.id = "waiting"; box.className = "waiting"; box.setAttribute("role", "status");
      document.getElementById("step").before(box);
    }
    const head = document.createElement("b");
    head.textContent = "Kept here, not sent yet: ";
    const items = document.createElement("span");
    items.textContent = list.map(i => "“" + i.label + "”").join(", ");
    box.replaceChildren(head, items);
    setLink(faultbook.linked, list.length);
  }

  // --- words while they are typed ------------------------------------------

  let timer = 0, asked = null, spoken = 0;
  function hush() {
    clearTimeout(timer); clearTimeout(spoken);
    if (asked) asked.abort();
    const box = document.getElementById("heard");
    if (box) box.replaceChildren();
  }
  function typed(event) {
    const field = event.target;
    const form = field.closest("form[data-draft]");
    if (form && field.matches("textarea")) saveDraft(form, field.value);
    if (!field.dataset.hear) return;
    clearTimeout(timer);
    timer = setTimeout(() => hear(field), 140);
  }
  async function hear(field) {
    if (asked) asked.abort();
    asked = new AbortController();
    const form = new URLSearchParams({ text: field.value, case: caseID });
    try {
      const answer = await request(field.dataset.hear, { form, signal: asked.signal, seconds: 4 });
      if (!answer.ok) return;
      const box = document.getElementById("heard");
      box.replaceChildren(...document.adoptNode(parse(await answer.text()).body).childNodes);
      clearTimeout(spoken);
      const first = box.querySelector(".chance-name");
      if (first) spoken = setTimeout(() => say("Sounds like " + first.textContent), 1200);
    } catch { } // overtaken by the next letters, or away: the words are kept
  }
  function enter(event) {
    if (event.key !== "Enter" || event.shiftKey || event.isComposing || !event.target.matches("textarea[data-enter]")) return;
    event.preventDefault();
    if (event.target.value.trim()) event.target.form.requestSubmit();
  }

  // --- drafts: what was typed and not sent, for a day -----------------------

  const day = 24 * 3600 * 1000;
  function saveDraft(form, text) {
    if (text) store.set("draft-" + form.dataset.draft, { text, at: Date.now() });
    else clearDraft(form);
  }
  function clearDraft(form) { if (form.dataset.draft) store.drop("draft-" + form.dataset.draft); }
  function restore() {
    for (const name of store.names()) {
      const old = name.startsWith("draft-") && store.get(name);
      if (old && Date.now() - old.at > day) store.drop(name);
    }
    for (const form of document.querySelectorAll("form[data-draft]")) {
      const draft = store.get("draft-" + form.dataset.draft), field = form.querySelector("textarea");
      if (!draft || field.value) continue;
      field.value = draft.text;
      if (field.dataset.hear) hear(field);
    }
  }

  // --- a first call: sent until it has arrived, opened once -----------------

  async function begin(event) {
    const form = event.target;
    if (!form.matches("form[data-begin]")) return;
    event.preventDefault();
    if (busy) return;
    busy = true;
    const fields = new URLSearchParams(new FormData(form));
    fields.delete("token");
    for (;;) {
      try {
        const answer = await request("/call", { form: fields });
        if (answer.ok) { clearDraft(form); location.assign(answer.url); return; }
        if (answer.status !== 429 && answer.status < 502) { form.querySelector("[data-fault]").textContent = await answer.text(); break; }
      } catch { setLink(false, 1); }
      await new Promise(done => setTimeout(done, 1500));
    }
    busy = false;
  }

  // --- how the call stands elsewhere ----------------------------------------

  async function refresh(url, focus) {
    try {
      const answer = await request(url || location.pathname);
      const text = await answer.text();
      if (answer.ok && !busy) put(text, focus); // an input that went out meanwhile brings its own answer
    } catch { setLink(false); }
  }
  function live(event) {
    const now = event.detail, here = call() && call().dataset;
    if (queue().length) flush();
    else if (here && !busy && (String(now.version) !== here.version || String(now.mine) !== here.mine || now.holder !== here.holder)) refresh();
    if (document.getElementById("rows")) rows();
  }
  async function rows() {
    try {
      const answer = await request("/calls");
      if (!answer.ok) return;
      const next = parse(await answer.text()).getElementById("rows"), old = document.getElementById("rows");
      if (next.textContent !== old.textContent && !old.contains(document.activeElement)) old.replaceWith(document.adoptNode(next));
    } catch { }
  }

  document.addEventListener("submit", submit);
  document.addEventListener("submit", begin);
  document.addEventListener("input", typed);
  document.addEventListener("keydown", enter);
  document.addEventListener("faultbook:live", live);
  document.addEventListener("click", event => {
    const link = event.target.closest("a[data-part]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    refresh(link.getAttribute("href").split("#")[0]).then(() => { const why = document.getElementById("why"); if (why) { why.tabIndex = -1; why.focus({ preventScroll: true }); why.scrollIntoView({ block: "nearest" }); } });
  });
  addEventListener("pageshow", event => { if (event.persisted && call()) refresh(); });

  // --- the clock of the call -------------------------------------------------

  // The desk counts minutes up to the moment that it makes the page; from there
  // they go on here.
  let madeAt = performance.now();
  function tick() {
    const passed = (performance.now() - madeAt) / 60000;
    for (const e of document.querySelectorAll("[data-clock]")) {
      const now = Math.max(0, Number(e.dataset.minutes) + Number(e.dataset.clock) * passed);
      const text = now > 0 && now < 1 ? "under 1 min" : Math.round(now) + " min";
      if (e.textContent !== text) e.textContent = text;
    }
  }
  setInterval(tick, 5000);

  if (caseID) faultbook.watchCase(caseID);
  restore();
  showWaiting();
  if (queue().length) flush();
  flushOthers();
  document.addEventListener("faultbook:link", event => { if (event.detail) flushOthers(); });
})();
