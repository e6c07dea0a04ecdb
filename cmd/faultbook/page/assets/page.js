"use strict";
// What every screen has: requests that survive a lost connection, the counts of
// the desk, copy and print, single keys, the line that says how the connection
// stands. Everything works without this file, only slower.

const faultbook = (() => {
  const body = document.body;
  let token = body.dataset.token;
  let linked = true;

  // Local storage may be forbidden or full; the page then forgets, but works.
  const store = {
    get(name) { try { return JSON.parse(localStorage.getItem("faultbook-" + name)); } catch { return null; } },
    set(name, value) { try { localStorage.setItem("faultbook-" + name, JSON.stringify(value)); } catch { } },
    drop(name) { try { localStorage.removeItem("faultbook-" + name); } catch { } },
    names() { try { return Object.keys(localStorage).filter(n => n.startsWith("faultbook-")).map(n => n.slice(10)); } catch { return []; } },
  };

  const newKey = () => Array.from(crypto.getRandomValues(new Uint8Array(9)), b => b.toString(16).padStart(2, "0")).join("");

  function say(text) { document.getElementById("spoken").textContent = text; }

  // setLink shows that the connection is away, and how much waits to be sent.
  function setLink(up, waiting = 0) {
    const line = document.getElementById("link");
    let text = "";
    if (!up) text = "No connection to the desk. Go on: what you type is kept and sent later.";
    if (waiting > 0) text += " " + waiting + (waiting === 1 ? " input waits" : " inputs wait") + " to be sent.";
    if (line.textContent !== text) line.textContent = text;
    line.hidden = text === "";
    if (up !== linked) {
      linked = up;
      document.dispatchEvent(new CustomEvent("faultbook:link", { detail: up }));
    }
  }

  // request fetches from the desk. It throws where the desk cannot be reached.
  async function request(url, { form = null, seconds = 8, signal = null } = {}) {
    const late = AbortSignal.timeout(seconds * 1000);
    const options = { headers: { "X-Part": "1" }, signal: signal ? AbortSignal.any([signal, late]) : late };
    if (form) {
      options.method = "POST";
      options.headers["X-Token"] = token;
      options.body = form;
    }
    const answer = await fetch(url, options);
    if (answer.status === 403 && form && await renew()) {
      options.headers["X-Token"] = token;
      return fetch(url, options);
    }
    return answer;
  }

  // renew asks for the token of a desk that was started anew.
  async function renew() {
    const before = token;
    await look();
    return token !== before;
  }

  // look asks how the desk stands.
  let watched = "";
  async function look() {
    const answer = await fetch("/live" + (watched ? "?case=" + encodeURIComponent(watched) : ""), { headers: { Accept: "application/json" }, signal: AbortSignal.timeout(6000) });
    if (!answer.ok) return null;
    const state = await answer.json();
    token = state.token;
    for (const count of document.querySelectorAll("[data-open]")) {
      count.textContent = state.open + (state.offered ? ", " + state.offered + " waiting" : "");
      count.hidden = state.open === 0;
    }
    return state;
  }

  const beat = { shown: 2500, hidden: 20000, away: 1500 };
  async function watch() {
    let wait = document.hidden ? beat.hidden : beat.shown;
    try {
      const state = await look();
      setLink(true);
      if (state) document.dispatchEvent(new CustomEvent("faultbook:live", { detail: state }));
    } catch {
      setLink(false);
      wait = beat.away;
    }
    setTimeout(watch, wait);
  }

  // Single keys, unless somebody types or has switched them off.
  const writes = e => e.matches("input:not([type=radio]):not([type=checkbox]), textarea, select, [contenteditable]");
  const keysOn = () => store.get("keys") !== false;
  function showKeys() {
    body.classList.toggle("keys-off", !keysOn());
    for (const b of document.querySelectorAll("[data-keys-switch]")) {
      b.hidden = false;
      b.setAttribute("aria-pressed", String(keysOn()));
      b.textContent = keysOn() ? "Single keys are on" : "Single keys are off";
    }
  }
  function press(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing || event.defaultPrevented) return;
    if (event.key === "Escape" && writes(event.target)) {
      (document.getElementById("step-head") || document.getElementById("main")).focus();
      return;
    }
    if (writes(event.target) || !keysOn() || event.repeat) return;
    const key = event.key.length === 1 ? event.key : "";
    const target = key && document.querySelector('[data-key="' + CSS.escape(key) + '"]:not(:disabled)');
    if (target) {
      event.preventDefault();
      use(target);
    }
  }
  function use(target) {
    if (target.matches("summary")) {
      const part = target.parentElement;
      part.open = !part.open;
      const first = part.open && part.querySelector("button, textarea, input:not([type=hidden]), select");
      (first || target).focus();
    } else if (target.matches("textarea, input, h3")) {
      target.focus();
    } else {
      target.click();
    }
  }

  function click(event) {
    const b = event.target.closest("[data-copy], [data-print], [data-keys-switch]");
    if (!b) return;
    if ("print" in b.dataset) window.print();
    if ("keysSwitch" in b.dataset) { store.set("keys", !keysOn()); showKeys(); }
    if (b.dataset.copy) copy(document.getElementById(b.dataset.copy), b);
  }
  async function copy(from, button) {
    try {
      await navigator.clipboard.writeText(from.textContent);
    } catch { // no clipboard without an encrypted or local address: select it instead
      const range = document.createRange();
      range.selectNodeContents(from);
      getSelection().removeAllRanges();
      getSelection().addRange(range);
      if (!document.execCommand("copy")) return say("Selected. Copy it with the keys of your browser.");
    }
    button.textContent = "Copied";
    say("Copied");
  }
  function showActs(root = document) {
    for (const b of root.querySelectorAll("[data-copy], [data-print]")) b.hidden = false;
    for (const k of root.querySelectorAll("kbd[data-keycap]")) k.setAttribute("aria-hidden", "true");
  }

  // Not before the other scripts are there to take what a key does.
  document.addEventListener("DOMContentLoaded", () => document.addEventListener("keydown", press));
  document.addEventListener("click", click);
  showKeys();
  showActs();
  setTimeout(watch, 300);

  return { store, request, say, setLink, newKey, showActs, watchCase(id) { watched = id; }, get linked() { return linked; } };
})();
