// Tells the style sheet that scripts run, and opens everything for paper.
"use strict";
document.documentElement.classList.add("scripted");
window.addEventListener("beforeprint", () => {
  for (const fold of document.querySelectorAll("details:not([open])")) {
    fold.open = true;
    fold.dataset.folded = "yes";
  }
});
window.addEventListener("afterprint", () => {
  for (const fold of document.querySelectorAll("details[data-folded]")) fold.open = false;
});
