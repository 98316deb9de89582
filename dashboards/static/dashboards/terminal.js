// A shared terminal locks itself when it is left. The server keeps the same limit on its own.
"use strict";
(() => {
  const page = document.body;
  const limit = Number(page.dataset.idleSeconds) * 1000;
  if (!limit) return;
  const WARN = Math.min(15000, limit / 2);
  const BEAT = 20000;
  const box = document.getElementById("idle-warning");
  const line = box && box.querySelector("p");
  let seen = Date.now();
  let beaten = Date.now();
  let said = "";
  let leaving = false;

  const token = () => JSON.parse(page.getAttribute("hx-headers") || "{}")["x-csrftoken"] || "";
  const post = (url) =>
    fetch(url, { method: "POST", headers: { "X-CSRFToken": token() }, keepalive: true });

  async function lock() {
    if (leaving) return;
    leaving = true;
    document.dispatchEvent(new Event("waterside:leaving"));
    try { await post(page.dataset.lockUrl); } catch { /* away: the server locks by its own clock */ }
    location.assign(page.dataset.terminalUrl);
  }

  function awake() {
    seen = Date.now();
    if (box) box.hidden = true;
    if (seen - beaten >= BEAT) {
      beaten = seen;
      post(page.dataset.heartbeatUrl)
        .then((answer) => {
          if (answer.status === 401 || answer.status === 403 || answer.redirected) lock();
        })
        .catch(() => {});
    }
  }

  // Spoken at the start and at five seconds, counted for the eye in between.
  function warn(left) {
    const seconds = Math.ceil(left / 1000);
    box.hidden = false;
    const text = line.dataset.text.replace("SECONDS", String(seconds));
    line.setAttribute("aria-live", seconds % 5 === 0 ? "polite" : "off");
    if (text !== said) line.textContent = said = text;
  }

  function watch() {
    const left = limit - (Date.now() - seen);
    if (left <= 0) lock();
    else if (left <= WARN && box) warn(left);
  }

  for (const kind of ["keydown", "pointerdown", "pointermove", "wheel", "touchstart"])
    addEventListener(kind, awake, { passive: true, capture: true });
  setInterval(watch, 500);
  document.addEventListener("visibilitychange", watch);
  // A page kept by the browser must not come back in the name of who has left.
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
})();
