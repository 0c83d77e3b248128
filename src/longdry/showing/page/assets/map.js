// Puts life into the map that folium has built, with its empty groups; a plan can be drawn anew.
"use strict";

function longdryMap(map, groups) {
  const data = JSON.parse(document.getElementById("map-data").textContent);
  prepareMap(map, data.unit);
  const drawn = drawPlan(map, groups, data);
  const refresh = () => refreshMap(map, groups, drawn);
  showWhole(map, drawn);
  refresh();
  map.on("zoomend moveend resize", refresh);
  const showAt = connectParts(map, groups, data, drawn, refresh);
  document.addEventListener("longdry-show", (event) => showAt(event.detail));
}

function prepareMap(map, unit) {
  L.control.scale({ maxWidth: 130, imperial: unit === "mile", metric: unit === "km", position: "bottomright" }).addTo(map);
  keepFocusWithPopups(map);
  // Below the route: what a finger hits, then dots, then the signs of a dense layer.
  ["reach", "dots", "aside"].forEach((name, place) => { map.createPane(name).style.zIndex = 330 + place; });
}

// Draws into empty groups; returns the lines of the stretches, the km marks and the signs of water.
function drawPlan(map, groups, data) {
  const lines = data.stretches.map((stretch) => routeLine(stretch).addTo(groups.route));
  const marks = data.marks.map((mark) => ({ at: mark[0], marker: placeMarker(mark, data.unit) }));
  data.stretches.forEach((stretch, place) => drawReach(stretch, lines[place], groups));
  const drawn = data.stretches.map((stretch, place) => [stretch, lines[place]]);
  drawn.sort((a, b) => a[0].width - b[0].width);
  for (const [stretch, line] of drawn) drawStretch(stretch, line, data.dense ? 9 : 3, groups);
  data.ways.forEach((way) => drawWay(way, groups));
  const canvas = L.canvas({ padding: 0.2, pane: "dots" });
  data.dots.forEach((dot) => drawDot(dot, canvas, groups));
  const waters = data.waters.map((water) => drawWater(water, data, groups));
  data.turns.forEach((turn) => drawPlace(turn, TURN_SHAPE, groups.turns));
  data.waits.forEach((wait) => drawPlace(wait, WAIT_SHAPE, groups.waits));
  for (const camp of data.camps) campMarker(camp).addTo(groups.camps);
  for (const end of data.ends) tagMarker(end.at, end.words, "end", 12).addTo(groups.tags);
  return { lines, marks, waters };
}

function refreshMap(map, groups, { lines, marks }) {
  drawGrid(map, groups.grid);
  pickMarks(map, groups.marks, marks);
  uncrowd(map, groups, lines);
}

function showWhole(map, { lines }) {
  const bounds = L.latLngBounds([]);
  for (const line of lines) bounds.extend(line.getBounds());
  map.fitBounds(bounds, { padding: [36, 36], maxZoom: 15, animate: false });
}

// What stands in the page beside the map: switches, list, profile, slider and button.
function connectParts(map, groups, data, drawn, refresh) {
  const showAt = connectPlace(map, data);
  connectSwitches(map, groups, refresh);
  connectList(map, data, drawn.lines, showAt);
  document.getElementById("whole-route").addEventListener("click", () => showWhole(map, drawn));
  return showAt;
}

function routeLine(stretch) {
  return L.polyline(stretch.line, {
    weight: stretch.width, dashArray: stretch.dash || null, className: "line-" + stretch.css, lineCap: "butt",
  });
}

// What a finger or a pointer can hit: as wide as other targets, unseen, below all lines.
function drawReach(stretch, line, groups) {
  const wide = matchMedia("(pointer: coarse)").matches ? 44 : 24;
  L.polyline(line.getLatLngs(), { weight: wide, opacity: 0, className: "reach", lineCap: "butt", pane: "reach" })
    .on("click", (event) => { tapped(event); line.openPopup(event.latlng); }).addTo(groups.route);
}

// Others may ask which place of the route was tapped.
function tapped(event) {
  document.dispatchEvent(new CustomEvent("longdry-tap", { detail: event.latlng }));
}

// The wider, the worse: the worst is drawn last and lies on top where laps lie over each other.
function drawStretch(stretch, line, casing, groups) {
  L.polyline(line.getLatLngs(), {
    weight: stretch.width + casing, className: "casing", interactive: false, lineCap: "butt",
  }).addTo(groups.route);
  line.bringToFront();
  const open = () => line.openPopup(L.latLng(stretch.middle));
  bindPopup(line, stretch.title, stretch.rows, "stretch-" + stretch.number);
  line.on("popupopen", () => markRow("stretch-" + stretch.number)).on("click", tapped);
  pressable(line.getElement(), stretch.title, open);
  if (!stretch.tag) return;
  const rank = { "too-long": 16, "short-ration": 15, "into-reserve": 14 }[stretch.css] || 13;
  tagMarker(stretch.middle, stretch.tag, "gap verdict-" + stretch.css, rank).on("click", open).addTo(groups.tags);
}

function drawWater(water, data, groups) {
  const marker = waterMarker(water, data.dense);
  const first = water.strands ? [["If dry", water.ifDry], ...water.calls] : water.calls;
  const row = water.stop === null ? "" : "stop-" + water.stop;
  bindPopup(marker, water.title, [...first, ...water.rows], row);
  if (row) marker.on("popupopen", () => markRow(row));
  const counts = (water.counted ? "" : ", does not count") + (water.strands ? ", if dry " + water.ifDry : "");
  marker.on("add", () => {
    pressable(marker.getElement(), water.title + ", " + water.rows[0][1] + counts, () => marker.openPopup());
  });
  marker.addTo(water.counted ? groups.water : groups.uncounted);
  const atWorst = water.stop === data.worst - 1 || water.stop === data.worst;
  const rank = water.stop !== null ? atWorst ? 11 : 10 : water.counted ? 3 : 1;
  const name = tagMarker(water.at, water.title, row ? "call" : "aside", rank, { isName: true });
  name.on("click", () => marker.openPopup());
  name.addTo(water.counted ? groups.tags : groups.uncounted);
  return marker;
}

// Water beyond the number that has names: dots on one canvas, which nobody can press.
function drawDot([lat, lon, counted], canvas, groups) {
  const color = getComputedStyle(document.documentElement).getPropertyValue("--quiet");
  const look = { radius: 1.25, weight: 0, fillOpacity: 0.4, fillColor: color, interactive: false, renderer: canvas };
  L.circleMarker([lat, lon], look).addTo(counted ? groups.water : groups.uncounted);
}

function drawPlace(place, shape, group) {
  const marker = placeSign(place, shape);
  bindPopup(marker, place.title, place.rows, "");
  pressable(marker.options.icon.options.html.querySelector(".tag"), place.title, () => marker.openPopup());
  marker.addTo(group);
}

function drawWay(way, groups) {
  const css = way.counted ? "way" : "way faint-way";
  L.polyline(way.line, { weight: 2, dashArray: "2 4", className: css, interactive: false })
    .addTo(way.counted ? groups.ways : groups.uncounted);
}

// As many km marks as there is room for at this scale.
function pickMarks(map, group, marks) {
  if (!marks.length) return;
  const points = marks.map(({ marker }) => map.latLngToContainerPoint(marker.getLatLng()));
  const gaps = points.slice(1).map((point, place) => point.distanceTo(points[place]));
  gaps.sort((a, b) => a - b);
  const apart = gaps[Math.floor(gaps.length / 2)] || 1;
  const factor = [1, 2, 5, 10, 20, 50, 100, 200].find((each) => each * apart >= 80) || 500;
  for (const { at, marker } of marks) {
    const wanted = Math.round(at / marks[0].at) % factor === 0;
    if (wanted) marker.addTo(group); else group.removeLayer(marker);
  }
}

function connectSwitches(map, groups, refresh) {
  for (const box of document.querySelectorAll("[data-layer]")) {
    box.addEventListener("change", () => {
      const group = groups[box.dataset.layer];
      if (box.checked) map.addLayer(group); else map.removeLayer(group);
      refresh();
    });
  }
}

// A stretch of the list or the profile shows itself on the map, and a stop does.
function connectList(map, data, lines, showAt) {
  const frame = map.getContainer();
  const intoView = () => frame.scrollIntoView({ block: "nearest" });
  for (const thing of document.querySelectorAll("[data-stretch]")) {
    thing.addEventListener("click", () => {
      const place = Number(thing.dataset.stretch) - 1;
      map.fitBounds(lines[place].getBounds(), { padding: [48, 48], maxZoom: 13, animate: false });
      intoView();
      lines[place].openPopup(L.latLng(data.stretches[place].middle));
    });
  }
  for (const stop of document.querySelectorAll(".stop[data-km]")) {
    const show = () => showAt(Number(stop.dataset.km));
    stop.querySelector("summary").addEventListener("click", show);
    stop.querySelector(".to-map").addEventListener("click", () => {
      map.setView(show(), Math.max(map.getZoom(), 10), { animate: false });
      intoView();
    });
  }
}

function markRow(id) {
  for (const row of document.querySelectorAll(".way .shown")) row.classList.remove("shown");
  const row = document.getElementById(id);
  if (row) row.classList.add("shown");
}

// One slider for a place along the route: a ring on the map, a line in the profile, and words.
function connectPlace(map, data) {
  const slider = document.getElementById("place");
  const words = document.getElementById("place-words");
  const needle = document.getElementById("place-needle");
  const ring = L.circleMarker([0, 0], { radius: 11, className: "place-ring", interactive: false, fill: false });
  const track = [[0, ...data.ends[0].at], ...data.marks, [data.length, ...data.ends[1].at]];

  function show(way) {
    const stretch = data.stretches.find((each) => way <= each.to) || data.stretches[data.stretches.length - 1];
    const place = placeAt(track, way);
    ring.setLatLng(place).addTo(map);
    words.textContent = data.unit + " " + way.toFixed(1) + ", " + (way < data.from ? "behind you" : stretch.title);
    markRow("stretch-" + stretch.number);
    slider.setAttribute("aria-valuetext", words.textContent);
    needle.setAttribute("transform", "translate(" + way / data.length * needle.dataset.width + " 0)");
    needle.classList.add("set");
    return place;
  }

  const showSlider = () => show(data.length * Number(slider.value) / Number(slider.max));
  slider.addEventListener("input", showSlider);
  document.querySelector(".profile").addEventListener("pointermove", (event) => {
    const plot = document.getElementById("plot").getBoundingClientRect();
    slider.value = String((event.clientX - plot.left) / plot.width * Number(slider.max));
    showSlider();
  });
  return (way) => {
    slider.value = String(way / data.length * Number(slider.max));
    return show(way);
  };
}

function placeAt(track, way) {
  const next = Math.max(1, track.findIndex((each) => each[0] >= way));
  const [a, b] = [track[next - 1], track[next]];
  const share = b[0] > a[0] ? (way - a[0]) / (b[0] - a[0]) : 0;
  return [a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share];
}
