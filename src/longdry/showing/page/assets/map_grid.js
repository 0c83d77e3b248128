// Lines of longitude and latitude at a step that suits the scale.
"use strict";

const GRID_STEPS = [30, 15, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];

function drawGrid(map, group) {
  group.clearLayers();
  const view = map.getBounds();
  const across = view.getEast() - view.getWest();
  const step = GRID_STEPS.find((each) => across / each >= 3) || 0.001;
  const digits = Math.max(0, Math.ceil(-Math.log10(step)));
  for (const lon of multiples(view.getWest(), view.getEast(), step)) {
    const turned = (((lon + 180) % 360) + 360) % 360 - 180;
    const ends = [[view.getSouth(), lon], [view.getNorth(), lon]];
    gridLine(map, group, ends.reverse(), degreeWords(turned, digits, "E", "W"), "grid-lon");
  }
  for (const lat of multiples(Math.max(view.getSouth(), -85), Math.min(view.getNorth(), 85), step)) {
    const ends = [[lat, view.getEast()], [lat, view.getWest()]];
    gridLine(map, group, ends, degreeWords(lat, digits, "N", "S"), "grid-lat");
  }
}

// The upper right corner is where words of both kinds would meet, the lower right has the scale.
function inCorner(map, at) {
  const point = map.latLngToContainerPoint(at);
  const size = map.getSize();
  return point.x > size.x - 64 && (point.y < 20 || point.y > size.y - 36) || point.x > size.x - 48 && point.y < 2;
}

function multiples(from, to, step) {
  const found = [];
  for (let number = Math.ceil(from / step); number * step <= to; number += 1) found.push(number * step);
  return found;
}

function degreeWords(value, digits, plus, minus) {
  const size = Math.abs(value).toFixed(digits);
  const half = Number(size) === 0 || Number(size) === 180 && plus === "E";
  return size + "°" + (half ? "" : " " + (value > 0 ? plus : minus));
}

function gridLine(map, group, ends, words, css) {
  L.polyline(ends, { weight: 1, className: "grid-line", interactive: false }).addTo(group).bringToBack();
  if (inCorner(map, ends[0])) return;
  const icon = L.divIcon({ html: element("span", "", words), className: "grid-words " + css, iconSize: null });
  L.marker(ends[0], { icon: icon, keyboard: false, interactive: false }).addTo(group);
}
