// A field with something wrong is marked for whoever can't see the words beside it.
"use strict";
function markWrong(form) {
  for (const error of form.querySelectorAll(".field-error[data-for]")) {
    const field = document.getElementById(error.dataset.for);
    if (!field) continue;
    if (error.textContent.trim()) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
}
