// The bench sheet: saves as it is typed, keeps what is not saved, never sends by accident.
"use strict";
(() => {
  const form = document.getElementById("bench-form");
  if (!form) return;
  const draft = form.dataset.draft;
  const mirror = draft ? new Mirror(draft) : null;
  const line = document.getElementById("save-line");
  let sentAt = 0;
  let leftAt = 0; // when the whole sheet went to the server, with everything that is on it
  let held = false;
  let finish = null; // the button that waits until everything is saved

  const say = (text, isHeld = false) => {
    held = isHeld;
    if (!line) return;
    if (text) line.textContent = text;
    line.classList.toggle("held", isHeld);
  };
  const send = () => htmx.trigger(form, "send-again");

  // Each field of a method shows only in the modes that ask for it; what was typed there stays.
  function followMode(radio) {
    for (const part of radio.closest(".test").querySelectorAll("[data-modes]"))
      part.hidden = !part.dataset.modes.split(" ").includes(radio.value);
  }

  function syncMarks() {
    markWrong(form);
    // What is wrong is never folded away.
    for (const fold of form.querySelectorAll("details:not([open])"))
      if (fold.querySelector('.field-error:not(:empty), [data-needs-reason="yes"]')) fold.open = true;
    for (const mark of form.querySelectorAll("[data-needs-reason]")) {
      const reason = document.getElementById(mark.parentElement.id.replace(/-state$/, "-why"));
      if (reason) reason.hidden = mark.dataset.needsReason !== "yes";
    }
  }

  // Of a group of choices, the one that Enter stops at: the chosen one, or else the first.
  const stopOf = (radio) => {
    const group = [...form.querySelectorAll(`[name="${CSS.escape(radio.name)}"]`)];
    return group.find((each) => each.checked) || group[0];
  };

  // What lies in a part that is folded up is passed over; the fold to add a test is not.
  function nextField(from) {
    const all = form.querySelectorAll("input, select, textarea, button, .more-tests summary");
    const fields = [...all].filter(
      (f) => f === from || (f.type !== "hidden" && !f.disabled && f.checkVisibility()
        && (f.type !== "radio" || f === stopOf(f)) && !f.classList.contains("unit")));
    return fields[fields.indexOf(from) + 1] || from;
  }

  // What was typed before this script was there, on a slow device, is typed all the same.
  function noteEarly() {
    for (const field of form.elements) {
      const options = field.options ? [...field.options] : [];
      const atFirst = Math.max(0, options.findIndex((each) => each.defaultSelected));
      if (field.matches("input, textarea") && (field.value !== field.defaultValue
        || field.checked !== field.defaultChecked)) mirror.note(field);
      else if (options.length && field.selectedIndex !== atFirst) mirror.note(field);
    }
    return mirror.unsent;
  }

  form.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Enter" || event.isComposing || !field.matches("input, select")) return;
    event.preventDefault();
    const next = nextField(field);
    next.focus();
    if (next.matches("input") && next.select) next.select();
  });

  for (const kind of ["input", "change"])
    form.addEventListener(kind, (event) => {
      if (event.target.matches("[data-mode]")) followMode(event.target);
      if (mirror) mirror.note(event.target);
    }, { capture: true });

  // htmx would take the address of the button that was pressed last; a save never finishes a sheet.
  form.addEventListener("htmx:configRequest", (event) => {
    event.detail.path = form.getAttribute("hx-post");
  });

  form.addEventListener("htmx:beforeRequest", (event) => {
    // A save on the heels of the whole sheet would only get in its way.
    if (Date.now() - leftAt < 10000) return event.preventDefault();
    sentAt = Date.now();
    if (!held && draft) say(form.dataset.textSaving);
  });

  const answered = (xhr) => (xhr.getResponseHeader("HX-Trigger") || "").includes("draft-saved");

  form.addEventListener("htmx:beforeSwap", (event) => {
    // A page to sign in is no answer to a draft.
    if (draft && !answered(event.detail.xhr)) event.detail.shouldSwap = false;
  });

  form.addEventListener("htmx:afterRequest", (event) => {
    if (!draft) return;
    const xhr = event.detail.xhr;
    if (event.detail.successful && answered(xhr)) return;
    finish = null;
    if (xhr.status === 409) return catchUp();
    say(whyNot(xhr), true);
  });

  function whyNot(xhr) {
    if (!xhr.status || xhr.status >= 500) return form.dataset.textUnsaved;
    const told = xhr.responseText.trim();
    const plain = xhr.status === 422 && told.length < 300 && !told.includes("<");
    return plain ? told : form.dataset.textRefused;
  }

  // The server is ahead, since an answer got lost or another window was open: begin from what it
  // has and put back on top of it what only this device knows. Once, so that nothing runs in a ring.
  function catchUp() {
    const stamp = `${mirror.slot}-caught-up`;
    let before = 0;
    try {
      before = Number(sessionStorage.getItem(stamp)) || 0;
      sessionStorage.setItem(stamp, String(Date.now()));
    } catch { before = Date.now(); }
    if (Date.now() - before < 30000) say(form.dataset.textMoved, true);
    else location.reload();
  }

  document.body.addEventListener("draft-saved", (event) => {
    if (!mirror) return;
    const revision = Number(event.detail.revision) || 0;
    mirror.saved(revision, sentAt);
    const known = document.getElementById("bench-revision");
    if (known) known.value = String(revision);
    say("");
    if (mirror.unsent) send();
    else if (finish) form.requestSubmit(finish);
  });

  // What comes back as it stood is left alone: a screen reader would tell it anew at every key.
  document.body.addEventListener("htmx:oobBeforeSwap", (event) => {
    const { fragment, target } = event.detail;
    if (fragment.innerHTML === target.innerHTML) event.detail.shouldSwap = false;
  });

  // Nothing typed while the answer was on its way is lost to the fields that came with it.
  document.body.addEventListener("htmx:oobAfterSwap", (event) => {
    const test = event.detail.target.closest(".test");
    if (!mirror || !test) return;
    mirror.putBack(event.detail.target);
    const chosen = test.querySelector("[data-mode]:checked");
    if (chosen) followMode(chosen);
  });

  for (const kind of ["htmx:afterSettle", "htmx:oobAfterSwap"])
    document.body.addEventListener(kind, syncMarks);

  // Finishing waits until the server has every value; then this device forgets them.
  form.addEventListener("submit", (event) => {
    if (!mirror) return;
    if (mirror.unsent) {
      event.preventDefault();
      finish = event.submitter;
      send();
    } else {
      leftAt = Date.now();
      mirror.forget();
    }
  });
  window.addEventListener("pageshow", () => { leftAt = 0; });
  const discard = document.getElementById("bench-discard");
  if (discard && mirror) discard.addEventListener("submit", () => mirror.forget());

  setInterval(() => { if (held) send(); }, 5000);

  document.addEventListener("DOMContentLoaded", () => {
    if (mirror && mirror.restore(form, Number(form.dataset.revision) || 0)) {
      say(form.dataset.textRestored);
      send();
    } else if (mirror && noteEarly()) send();
    for (const radio of form.querySelectorAll("[data-mode]:checked")) followMode(radio);
    syncMarks();
  });
})();
