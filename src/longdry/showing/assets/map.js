// Puts life into the map that folium has built. All words come as JSON and are set as text.
"use strict";

function longdryMap(map, groups, lines) {
  const data = JSON.parse(document.getElementById("map-data").textContent);
  const frame = map.getContainer();
  const reduced = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  let opener = null;

  function element(name, css, text) {
    const made = document.createElement(name);
    if (css) made.className = css;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function svg(name, attributes) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const key of Object.keys(attributes)) made.setAttribute(key, attributes[key]);
    return made;
  }

  function named(text) {
    return element("bdi", "name", text);
  }

  // Popups -----------------------------------------------------------------------------------
  function popupContent(title, rows, rowId) {
    const box = element("div", "popup");
    const head = element("p", "popup-title");
    head.tabIndex = -1;
    head.append(named(title));
    const list = element("dl");
    for (const [key, value] of rows) {
      list.append(element("dt", "", key));
      const worth = element("dd");
      worth.append(named(value));
      list.append(worth);
    }
    box.append(head, list);
    if (rowId) {
      const link = element("a", "to-row", "Show in the table");
      link.href = "#" + rowId;
      box.append(link);
    }
    return box;
  }

  function openOn(layer, thing, title, rows, rowId) {
    layer.bindPopup(() => popupContent(title, rows, rowId), {
      maxWidth: 270, minWidth: 180, maxHeight: 260, autoPanPadding: [8, 8],
    });
    layer.on("popupopen", () => { opener = thing() || frame; });
  }

  map.on("popupopen", (event) => {
    const box = event.popup.getElement();
    box.setAttribute("role", "dialog");
    box.setAttribute("aria-label", box.querySelector(".popup-title").textContent);
    box.querySelector(".leaflet-popup-close-button").setAttribute("aria-label", "Close");
    box.querySelector(".popup-title").focus({ preventScroll: true });
  });
  map.on("popupclose", () => {
    if (opener && (document.activeElement === document.body || frame.contains(document.activeElement))) {
      opener.focus({ preventScroll: true });
    }
    opener = null;
  });
  frame.addEventListener("keydown", (event) => {
    if (event.key === "Escape") map.closePopup();
  });

  function pressable(thing, label, act) {
    thing.setAttribute("tabindex", "0");
    thing.setAttribute("role", "button");
    thing.setAttribute("aria-label", label);
    if (!act) return;
    thing.addEventListener("keydown", (event) => {
      if (event.key === "Enter" || event.key === " ") {
        event.preventDefault();
        act();
      }
    });
  }

  // Stretches --------------------------------------------------------------------------------
  function drawStretch(stretch, line) {
    L.polyline(line.getLatLngs(), {
      weight: stretch.width + 3, className: "casing", interactive: false, lineCap: "butt",
    }).addTo(groups.route).bringToBack();
    openOn(line, () => line.getElement(), stretch.title, stretch.rows, "stretch-" + stretch.number);
    pressable(line.getElement(), stretch.title, () => line.openPopup(L.latLng(stretch.middle)));
    line.on("popupopen", () => markRow(stretch.number));
    tagMarker(stretch, line).addTo(groups.tags);
  }

  function tagMarker(stretch, line) {
    const plain = stretch.css === "clear";
    const words = element("span", "tag verdict-" + stretch.css, plain ? String(stretch.number) : stretch.tag);
    const marker = signMarker(stretch.middle, words, "tag-holder", [0, 0]);
    marker.options.keyboard = false;
    marker.options.weightInCrowd = plain ? 1 : 4;
    marker.on("click", () => line.openPopup(L.latLng(stretch.middle)));
    return marker;
  }

  function signMarker(at, content, css, size) {
    const icon = L.divIcon({ html: content, className: css, iconSize: size[0] ? size : null });
    return L.marker(at, { icon: icon, riseOnHover: true });
  }

  function markRow(number) {
    for (const row of document.querySelectorAll("tr.shown")) row.classList.remove("shown");
    const row = document.getElementById("stretch-" + number);
    if (row) row.classList.add("shown");
  }

  function showStretch(number) {
    const place = data.stretches.findIndex((stretch) => stretch.number === number);
    if (place < 0) return;
    const line = lines[place];
    map.fitBounds(line.getBounds(), { padding: [40, 40], maxZoom: 13, animate: false });
    frame.scrollIntoView({ block: "center", behavior: reduced ? "auto" : "smooth" });
    line.openPopup(L.latLng(data.stretches[place].middle));
  }

  // Water ------------------------------------------------------------------------------------
  const SHAPES = {
    "potable": "M12 1.5a10.5 10.5 0 1 0 .01 0Z",
    "treat-before-drinking": "M12 .8 23.2 12 12 23.2 .8 12Z",
    "not-for-drinking": "M2.5 2.5h19v19h-19Z",
  };

  function drawWater(water) {
    const css = "water-sign grade-" + water.grade + (water.counted ? "" : " faint");
    const sign = svg("svg", { viewBox: "0 0 24 24", width: 24, height: 24, class: css, "aria-hidden": "true" });
    sign.append(svg("path", { d: SHAPES[water.grade], class: "face" }));
    const letter = svg("text", { x: 12, y: 16.2, "text-anchor": "middle", class: "letter" });
    letter.textContent = water.letter;
    sign.append(letter);
    const marker = signMarker(water.at, sign, "water-holder", [24, 24]);
    marker.options.weightInCrowd = water.counted ? 3 : 2;
    marker.on("add", () => {
      pressable(marker.getElement(), water.title + ", " + water.rows[0][1] + (water.counted ? "" : ", does not count"));
    });
    openOn(marker, () => marker.getElement(), water.title, water.rows, "");
    marker.addTo(water.counted ? groups.water : groups.uncounted);
  }

  function drawWay(way) {
    L.polyline(way.line, {
      weight: 2, dashArray: "2 4", className: way.counted ? "way" : "way faint-way", interactive: false,
    }).addTo(way.counted ? groups.ways : groups.uncounted);
  }

  // Km and direction -------------------------------------------------------------------------
  const marks = data.kmMarks.map(([km, lat, lon, heading]) => {
    const box = element("span", "km-mark");
    const arrow = svg("svg", { viewBox: "0 0 16 16", width: 16, height: 16, "aria-hidden": "true" });
    arrow.append(svg("path", { d: "M8 1 14 14 8 10.5 2 14Z", transform: "rotate(" + heading + " 8 8)" }));
    box.append(arrow, element("span", "", String(km)));
    const marker = L.marker([lat, lon], {
      icon: L.divIcon({ html: box, className: "mark-holder", iconSize: [16, 16] }),
      keyboard: false, interactive: false,
    });
    marker.options.weightInCrowd = 0;
    return { km: km, marker: marker };
  });

  function pickMarks() {
    if (!marks.length) return;
    const step = marks[0].km;
    const apart = medianGap() || 1;
    const factors = [1, 2, 5, 10, 20, 50, 100, 200];
    const factor = factors.find((each) => each * apart >= 90) || 500;
    for (const { km, marker } of marks) {
      const wanted = Math.round(km / step) % factor === 0;
      if (wanted) marker.addTo(groups.marks); else groups.marks.removeLayer(marker);
    }
  }

  function medianGap() {
    const points = marks.map(({ marker }) => map.latLngToContainerPoint(marker.getLatLng()));
    const gaps = points.slice(1).map((point, place) => point.distanceTo(points[place]));
    gaps.sort((a, b) => a - b);
    return gaps[Math.floor(gaps.length / 2)];
  }

  // Signs that would lie on top of each other: the less weighty one steps back ---------------
  function uncrowd() {
    const signs = [];
    for (const name of ["tags", "water", "uncounted", "marks"]) {
      if (!map.hasLayer(groups[name])) continue;
      groups[name].eachLayer((layer) => {
        const thing = layer.options.weightInCrowd !== undefined && layer.getElement();
        if (!thing) return;
        thing.classList.remove("crowded");
        signs.push({ thing: thing, box: thing.firstChild.getBoundingClientRect(), weight: layer.options.weightInCrowd });
      });
    }
    signs.sort((a, b) => b.weight - a.weight);
    const kept = [];
    for (const sign of signs) {
      if (kept.some((other) => overlap(sign.box, other.box))) sign.thing.classList.add("crowded");
      else kept.push(sign);
    }
  }

  function overlap(a, b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
  }

  // Degrees ----------------------------------------------------------------------------------
  function drawGrid() {
    groups.grid.clearLayers();
    const bounds = map.getBounds();
    const across = bounds.getEast() - bounds.getWest();
    const steps = [30, 15, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];
    const step = steps.find((each) => across / each >= 3) || 0.001;
    const digits = Math.max(0, Math.ceil(-Math.log10(step)));
    gridLines(bounds.getWest(), bounds.getEast(), step, (lon) => {
      const turned = ((lon + 540) % 360 + 360) % 360 - 180;
      gridLine([[bounds.getSouth(), lon], [bounds.getNorth(), lon]], degrees(turned, digits, "E", "W"), "grid-lon");
    });
    gridLines(Math.max(bounds.getSouth(), -85), Math.min(bounds.getNorth(), 85), step, (lat) => {
      gridLine([[lat, bounds.getWest()], [lat, bounds.getEast()]], degrees(lat, digits, "N", "S"), "grid-lat");
    });
  }

  function gridLines(from, to, step, draw) {
    for (let number = Math.ceil(from / step); number * step <= to; number += 1) draw(number * step);
  }

  function degrees(value, digits, plus, minus) {
    const size = Math.abs(value).toFixed(digits);
    return size + "°" + (Number(size) === 0 ? "" : " " + (value > 0 ? plus : minus));
  }

  function gridLine(ends, words, css) {
    L.polyline(ends, { weight: 1, className: "grid-line", interactive: false }).addTo(groups.grid).bringToBack();
    const icon = L.divIcon({ html: element("span", "", words), className: "grid-words " + css, iconSize: null });
    L.marker(ends[0], { icon: icon, keyboard: false, interactive: false }).addTo(groups.grid);
  }

  // All together -----------------------------------------------------------------------------
  function refresh() {
    drawGrid();
    pickMarks();
    uncrowd();
  }

  function wholeRoute() {
    const bounds = L.latLngBounds([]);
    for (const line of lines) bounds.extend(line.getBounds());
    map.fitBounds(bounds, { padding: [28, 28], animate: false });
  }

  L.control.scale({ imperial: false, position: "bottomright" }).addTo(map);
  data.stretches.forEach((stretch, place) => drawStretch(stretch, lines[place]));
  data.ways.forEach(drawWay);
  data.waters.forEach(drawWater);
  wholeRoute();
  refresh();
  map.on("zoomend moveend resize", refresh);

  for (const box of document.querySelectorAll("[data-layer]")) {
    box.addEventListener("change", () => {
      const group = groups[box.dataset.layer];
      if (box.checked) map.addLayer(group); else map.removeLayer(group);
      refresh();
    });
  }
  for (const thing of document.querySelectorAll("[data-stretch]")) {
    thing.addEventListener("click", () => showStretch(Number(thing.dataset.stretch)));
  }
  const whole = element("button", "whole", "Whole route");
  whole.type = "button";
  whole.addEventListener("click", wholeRoute);
  document.querySelector(".map-frame").append(whole);
}
