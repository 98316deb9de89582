// Number pad for wet hands: types in the PIN field. Without script the field itself is used.
"use strict";
(() => {
  for (const pad of document.querySelectorAll("[data-pin-pad]")) {
    const field = document.getElementById(pad.dataset.pinPad);
    if (!field) continue;
    pad.hidden = false;
    pad.addEventListener("click", (event) => {
      const key = event.target.closest("button");
      if (!key || key.type === "submit") return;
      if ("erase" in key.dataset) field.value = field.value.slice(0, -1);
      else if (key.dataset.digit) field.value += key.dataset.digit;
    });
  }
  const clock = document.querySelector("[data-clock] time");
  if (!clock) return;
  // The plant's wall clock as the server gave it, moved on by this device's own count of seconds.
  const written = clock.textContent.trim();
  const match = /^(\d{1,2}):(\d{2})$/.exec(written);
  if (!match) return;
  const begun = Date.now();
  const start = Number(match[1]) * 60 + Number(match[2]);
  const seconds = new Date(clock.dateTime).getSeconds() || 0;
  setInterval(() => {
    const now = (start + Math.floor((seconds + (Date.now() - begun) / 1000) / 60)) % 1440;
    const text = `${String(Math.floor(now / 60)).padStart(match[1].length, "0")}:${String(now % 60).padStart(2, "0")}`;
    if (clock.textContent !== text) clock.textContent = text;
  }, 1000);
})();
