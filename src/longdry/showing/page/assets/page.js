// Tells the style sheet that scripts run; opens what a link leads to; prints parts alone.
"use strict";
document.documentElement.classList.add("scripted");

function openAround(target) {
  for (let part = target; part; part = part.parentElement) if (part.tagName === "DETAILS") part.open = true;
  const own = target.querySelector(":scope > details");
  if (own) own.open = true;
}

function openTarget() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  openAround(target);
  target.scrollIntoView();
}

// A part of the page that can be printed without the rest.
function printAlone(part) {
  document.documentElement.classList.add(part + "-alone");
  window.print();
}

window.addEventListener("hashchange", openTarget);
window.addEventListener("DOMContentLoaded", () => {
  openTarget();
  for (const button of document.querySelectorAll("[data-print]")) {
    button.addEventListener("click", () => printAlone(button.dataset.print));
  }
  showWorst(document.querySelector(".chart-room"));
});
window.addEventListener("afterprint", () => {
  document.documentElement.classList.remove("sheet-alone", "papers-alone", "both-alone");
});

const AXIS_PX = 48; // the litres that stay in view, and the call that begins a stretch

// On a narrow screen the profile begins where it is worst; its litres stay in view.
function showWorst(room) {
  const worst = room && room.querySelector(".worst");
  if (!worst) return;
  const picture = room.querySelector(".profile");
  room.addEventListener("scroll", () => {
    const rolled = (room.scrollLeft * picture.viewBox.baseVal.width) / picture.clientWidth;
    picture.style.setProperty("--rolled", `${rolled}px`);
  });
  const box = worst.getBoundingClientRect();
  const begin = box.left - room.getBoundingClientRect().left;
  room.scrollLeft = Math.min(begin + (box.width - room.clientWidth) / 2, begin - AXIS_PX);
}
