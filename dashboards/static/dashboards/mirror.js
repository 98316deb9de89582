// A copy on this device of what was typed on a draft, until the server says that it has it.
"use strict";
window.Mirror = class Mirror {
  static SKIP = new Set(["csrfmiddlewaretoken", "key", "revision", "add"]);

  constructor(draft) {
    this.slot = `waterside-draft-${draft}`;
    this.state = { revision: 0, fields: {} };
    try {
      this.state = JSON.parse(localStorage.getItem(this.slot)) || this.state;
    } catch { /* unreadable or refused: begin anew */ }
  }

  static value(field) {
    return field.type === "checkbox" ? (field.checked ? field.value : "") : field.value;
  }

  static kept(field) {
    return field.name && field.type !== "password" && field.type !== "hidden" && !Mirror.SKIP.has(field.name);
  }

  write() {
    try {
      localStorage.setItem(this.slot, JSON.stringify(this.state));
    } catch { /* no room or not allowed: the server's copy is then the only one */ }
  }

  note(field) {
    if (!Mirror.kept(field) || (field.type === "radio" && !field.checked)) return;
    this.state.fields[field.name] = { value: Mirror.value(field), at: Date.now(), sent: false };
    this.write();
  }

  // Set a field to what was noted for it; true where that changes it.
  static put(field, value) {
    if (field.type === "radio" || field.type === "checkbox") {
      const was = field.checked;
      field.checked = field.value === value;
      return was !== field.checked;
    }
    const known = !field.options || [...field.options].some((each) => each.value === value);
    if (!known || field.value === value) return false;
    field.value = value;
    return true;
  }

  // The server has everything that was typed before `sentAt`.
  saved(revision, sentAt) {
    if (revision > this.state.revision) this.state.revision = revision;
    for (const entry of Object.values(this.state.fields)) if (entry.at < sentAt) entry.sent = true;
    this.write();
  }

  get unsent() {
    return Object.values(this.state.fields).some((entry) => !entry.sent);
  }

  // Put back what the server does not have; true where anything changed.
  restore(form, serverRevision) {
    const behind = this.state.revision > serverRevision;
    let changed = false;
    for (const [name, entry] of Object.entries(this.state.fields)) {
      if (entry.sent && !behind) continue;
      for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`))
        changed = Mirror.put(field, entry.value) || changed;
      entry.sent = false;
    }
    if (changed) this.write();
    return changed;
  }

  // A part of the page came anew from the server: give it what was typed since the question left.
  putBack(part) {
    for (const field of part.querySelectorAll("[name]")) {
      const entry = this.state.fields[field.name];
      if (entry && !entry.sent) Mirror.put(field, entry.value);
    }
  }

  forget() {
    this.state.fields = {};
    try { localStorage.removeItem(this.slot); } catch { /* nothing was kept */ }
  }
};
