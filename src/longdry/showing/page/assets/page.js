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

// The sheet to carry can be printed without the rest.
window.addEventListener("DOMContentLoaded", () => {
  document.getElementById("print-sheet").addEventListener("click", () => {
    document.documentElement.classList.add("sheet-alone");
    window.print();
  });
});
window.addEventListener("afterprint", () => document.documentElement.classList.remove("sheet-alone"));

// A link into a fold opens it.
function openTarget() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (target && target.tagName === "DETAILS") target.open = true;
}
window.addEventListener("hashchange", openTarget);
window.addEventListener("DOMContentLoaded", openTarget);
