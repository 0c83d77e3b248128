// Shows the reason of a cell or a point beside it, from its row of the tables; arrow keys go about.
"use strict";
const MOST_TOLD = 4;
window.addEventListener("DOMContentLoaded", () => {
  const cells = [...document.querySelectorAll(".cell")];
  const points = [...document.querySelectorAll(".point[href]")];
  const rooms = { cell: document.getElementById("reason"), point: roomBelow(document.querySelector(".chart")) };
  for (const some of [cells, points]) oneTabStop(some);
  for (const one of [...cells, ...points]) {
    const room = rooms[one.classList[0]];
    one.addEventListener("click", (event) => {
      event.preventDefault();
      show(one, room);
    });
    one.addEventListener("keydown", (event) => {
      if (event.key === " ") {
        event.preventDefault();
        show(one, room);
      }
      if (event.key === "Escape") clear(room);
      const next = event.key.startsWith("Arrow") && neighbour(one, event.key, cells, points);
      if (next) {
        event.preventDefault();
        goTo(next, one.classList.contains("cell") ? cells : points);
      }
    });
  }
  keepUpright(document.querySelector(".chart"));
  rollTo(document.querySelector(".calendar .best"));
  rollTo(document.querySelector(".chart .ring"));
});

function roomBelow(chart) {
  if (!chart) return null;
  const room = document.createElement("div");
  room.className = "reason";
  room.setAttribute("role", "status");
  chart.after(room);
  return room;
}

// Of many links one can be reached with Tab, the others from it with the arrow keys.
function oneTabStop(some) {
  for (const one of some) one.setAttribute("tabindex", "-1");
  if (some.length) some[0].setAttribute("tabindex", "0");
}

function goTo(next, among) {
  for (const one of among) one.setAttribute("tabindex", "-1");
  next.setAttribute("tabindex", "0");
  next.focus();
}

function neighbour(one, key, cells, points) {
  const step = key === "ArrowLeft" || key === "ArrowUp" ? -1 : 1;
  if (!one.classList.contains("cell")) return points[points.indexOf(one) + step];
  const sideways = key === "ArrowLeft" || key === "ArrowRight";
  const along = sideways ? "week" : "line", across = sideways ? "line" : "week";
  const same = cells.filter((cell) => cell.dataset[across] === one.dataset[across]);
  same.sort((a, b) => a.dataset[along] - b.dataset[along]);
  return same[same.indexOf(one) + step];
}

function show(one, room) {
  clear(room);
  one.classList.add("chosen");
  const alike = new Map();
  for (const id of one.dataset.rows.split(" ")) {
    const row = document.getElementById(id);
    const sign = row && row.querySelector("th .sign"), why = row && row.querySelector(".reasons ul");
    if (!row) continue;
    const told = sign.textContent + why.textContent;
    if (alike.has(told)) alike.get(told).others += 1;
    else alike.set(told, { id, name: row.querySelector("th").dataset.name, sign, why, others: 0, plan: row.querySelector("a.plan") });
  }
  for (const some of [...alike.values()].slice(0, MOST_TOLD)) tell(some, room);
  if (alike.size > MOST_TOLD) room.append(paragraph(`And ${alike.size - MOST_TOLD} other reasons: see all figures.`));
  room.scrollIntoView({ block: "nearest" });
}

// Departures with the same reasons are told once.
function tell(some, room) {
  const head = document.createElement("h3"), all = document.createElement("a"), last = paragraph("");
  const others = some.others ? `, and ${some.others} more for the same reasons ` : " ";
  head.append(some.name + others, some.sign.cloneNode(true));
  all.href = "#" + some.id;
  all.textContent = "All its figures and warnings";
  last.append(all);
  if (some.plan) last.append(" ", some.plan.cloneNode(true));
  room.append(head, some.why.cloneNode(true), last);
}

function paragraph(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}

function clear(room) {
  for (const one of document.querySelectorAll(".chosen")) one.classList.remove("chosen");
  room.replaceChildren();
}

// On a narrow screen a picture begins where it is best.
function rollTo(best) {
  if (!best) return;
  const room = best.closest(".calendar, .chart");
  const names = room.querySelector(".names"), wide = room.clientWidth;
  const place = best.getBoundingClientRect(), begin = room.getBoundingClientRect().left;
  const from = names ? names.getBoundingClientRect().width : 0, middle = place.left + place.width / 2 - begin;
  room.scrollLeft = middle - (names ? (wide + from) / 2 : wide * shareBeside(middle, room));
}

// A point has its name on its right, or on its left where it lies far to the right.
function shareBeside(middle, room) {
  return middle + room.scrollLeft < room.scrollWidth * 0.7 ? 0.22 : 0.78;
}

// The scale of chances stays in view while the picture is rolled.
function keepUpright(chart) {
  if (!chart) return;
  const picture = chart.querySelector("svg"), upright = picture.querySelector(".upright");
  chart.addEventListener("scroll", () => {
    const scale = picture.viewBox.baseVal.width / picture.getBoundingClientRect().width;
    upright.setAttribute("transform", `translate(${chart.scrollLeft * scale} 0)`);
  });
}
