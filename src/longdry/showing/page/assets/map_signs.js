// Signs on the map. Every word is set as text, never as markup.
"use strict";

const TURN_SHAPE = "M3 15V10A4.5 4.5 0 0 1 12 10V13M8.5 10.5 12 14.5 15.5 10.5";
const WAIT_SHAPE = "M3 1.5H13L8 8L13 14.5H3L8 8Z";

function element(name, css, text) {
  const made = document.createElement(name);
  if (css) made.className = css;
  if (text !== undefined) made.textContent = text;
  return made;
}

function drawing(name, attributes) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const key of Object.keys(attributes)) made.setAttribute(key, attributes[key]);
  return made;
}

// A marker whose icon is an element; of two crowding signs the one of higher `rank` stays.
function sign(at, content, css, rank, options) {
  const icon = L.divIcon({ html: content, className: css, iconSize: null });
  return L.marker(at, Object.assign({ icon: icon, rank: rank, keyboard: false }, options));
}

// Paths and markers become buttons for the keyboard.
function pressable(thing, label, act) {
  thing.setAttribute("tabindex", "0");
  thing.setAttribute("role", "button");
  thing.setAttribute("aria-label", label);
  thing.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    event.stopPropagation();
    act();
  });
}

// Full: to drink; half full: treat first; empty: not for drinking.
function waterMarker(water, dense) {
  const css = ["water-sign", water.counted ? "" : "faint", water.unsure ? "unsure" : "", water.strands ? "strands" : ""];
  const picture = drawing("svg", {
    viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true", class: css.filter(Boolean).join(" "),
  });
  const full = water.grade === "potable" ? "face full" : "face";
  picture.append(drawing("circle", { cx: 12, cy: 12, r: 8, class: full }));
  if (water.grade === "treat-before-drinking") picture.append(drawing("path", { d: "M4 12a8 8 0 0 0 16 0z", class: "half" }));
  const rank = water.stop !== null ? 18 : water.counted ? 8 : 2;
  const options = { riseOnHover: true, isWater: true, isCall: water.stop !== null };
  if (dense && !options.isCall) options.pane = "aside";
  return sign(water.at, picture, options.isCall ? "water-holder" : "water-holder passed-by", rank, options);
}

function placeMarker([at, lat, lon, heading], unit) {
  const box = element("span", "km-mark");
  const arrow = drawing("svg", { viewBox: "0 0 16 16", width: 16, height: 16, "aria-hidden": "true" });
  const turn = "rotate(" + heading + " 8 8)";
  arrow.append(drawing("path", { d: "M8 2 13 14H3Z", transform: turn }));
  box.append(arrow, element("span", "", unit + " " + at));
  return sign([lat, lon], box, "mark-holder", 0, { interactive: false, begins: true });
}

function campMarker(camp) {
  const box = element("span", "km-mark camp");
  const dome = drawing("svg", { viewBox: "0 0 16 16", width: 16, height: 16, class: "camp-sign", "aria-hidden": "true" });
  dome.append(drawing("path", { d: "M1 13A7 8 0 0 1 15 13Z" }));
  box.append(dome, element("span", "", "day " + camp.day));
  return sign(camp.at, box, "mark-holder", 0.5, { interactive: false, begins: true });
}

// Words beside the route, joined to their place by a thin line.
function tagMarker(at, words, css, rank, options = {}) {
  const box = element("span", "tag-box");
  const leader = drawing("svg", { class: "leader", width: 1, height: 1, "aria-hidden": "true" });
  leader.append(drawing("path", { d: "M0 0" }));
  box.append(leader, element("span", "tag " + css, words));
  return sign(at, box, "tag-holder", rank, options);
}

// The same with a picture before the words.
function placeSign(place, shape) {
  const marker = tagMarker(place.at, place.words, "place", place.rank);
  const picture = drawing("svg", { viewBox: "0 0 16 16", width: 14, height: 14, class: "place-sign", "aria-hidden": "true" });
  picture.append(drawing("path", { d: shape }));
  marker.options.icon.options.html.querySelector(".tag").prepend(picture, " ");
  return marker;
}
