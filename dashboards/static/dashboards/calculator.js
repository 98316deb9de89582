// The calculator: what comes back as it is typed marks the fields it speaks of.
"use strict";
(() => {
  const form = document.getElementById("calculation");
  if (!form) return;
  for (const kind of ["htmx:afterSettle", "htmx:oobAfterSwap"])
    document.body.addEventListener(kind, () => markWrong(form));
})();
