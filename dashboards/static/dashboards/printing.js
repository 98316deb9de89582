/* The button that prints the page; without scripts the browser's own way to print stays. */
"use strict";

for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
