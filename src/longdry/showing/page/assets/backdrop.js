// Draws what lies below the route: tiles inside the page, the user's own lines and names, or
// tiles that the user asked for online.
"use strict";

const BACKDROP_STEPS_UP = 4;

// A tile inside the page; where the zoom has none, its part of a coarser one.
const PageTiles = L.GridLayer.extend({
  createTile: function (coords) {
    const size = this.getTileSize().x;
    for (let up = 0; up <= BACKDROP_STEPS_UP && coords.z >= up; up += 1) {
      const place = [coords.z - up, coords.x >> up, coords.y >> up].join("/");
      const picture = this.options.pictures[this.options.places[place]];
      if (picture) return up ? partOf(picture, coords, up, size) : wholeOf(picture);
    }
    return document.createElement("div");
  },
});

function wholeOf(picture) {
  const image = document.createElement("img");
  image.alt = "";
  image.src = picture;
  return image;
}

function partOf(picture, coords, up, size) {
  const frame = element("div", "backdrop-part", "");
  const image = wholeOf(picture);
  const times = 2 ** up;
  image.style.width = image.style.height = size * times + "px";
  image.style.left = -(coords.x % times) * size + "px";
  image.style.top = -(coords.y % times) * size + "px";
  frame.append(image);
  return frame;
}

function backdropLayer(layer) {
  const pane = { pane: "backdrop" };
  if (layer.kind === "online") return L.tileLayer(layer.url, { ...pane, referrerPolicy: "no-referrer" });
  if (layer.kind === "shapes") return L.layerGroup(layer.shapes.map((shape) => backdropShape(shape)));
  return new PageTiles({
    ...pane, places: layer.places, pictures: layer.pictures,
    minNativeZoom: layer.least, maxNativeZoom: layer.greatest,
  });
}

function backdropShape(shape) {
  const given = { pane: "backdrop", interactive: false };
  if (shape.point) return L.circleMarker(shape.point, { ...given, radius: 3, className: "backdrop-point" });
  if (shape.area) return L.polygon(shape.area, { ...given, weight: 1, className: "backdrop-area" });
  return L.polyline(shape.line, { ...given, weight: 1.5, className: "backdrop-line" });
}

// Names where there is room for them, points before lines and areas.
function backdropNames(map, layers) {
  const shapes = layers.flatMap((layer) => layer.shapes || []).filter((shape) => shape.name);
  const group = L.layerGroup();
  const named = [...shapes.filter((shape) => shape.point), ...shapes.filter((shape) => !shape.point)];

  function refresh() {
    group.clearLayers();
    const taken = [];
    const view = map.getBounds();
    for (const shape of named) {
      const at = shape.point || placeOnShape(shape.line || shape.area, view);
      if (!at || !view.contains(at)) continue;
      const point = map.latLngToContainerPoint(at);
      const box = L.bounds(point.subtract([0, 9]), point.add([12 + 7 * shape.name.length, 9]));
      if (taken.some((other) => other.intersects(box))) continue;
      taken.push(box);
      group.addLayer(backdropName(at, shape.name));
    }
  }

  map.whenReady(refresh);
  map.on("zoomend moveend resize", refresh);
  return group;
}

// The middle of what is in view.
function placeOnShape(places, view) {
  const seen = places.filter((place) => view.contains(place));
  return seen[Math.floor(seen.length / 2)];
}

function backdropName(at, name) {
  const icon = L.divIcon({ html: element("span", "", name), className: "backdrop-name", iconSize: null });
  return L.marker(at, { icon: icon, pane: "backdrop-names", keyboard: false, interactive: false });
}

function drawBackdrop(map, layers) {
  for (const pane of ["backdrop", "backdrop-names"]) if (!map.getPane(pane)) map.createPane(pane);
  const drawn = L.layerGroup([...layers.map(backdropLayer), backdropNames(map, layers)]).addTo(map);
  document.getElementById("backdrop-switch").addEventListener("change", (event) => {
    if (event.target.checked) map.addLayer(drawn); else map.removeLayer(drawn);
  });
  return drawn;
}

L.Map.addInitHook(function () {
  const block = document.getElementById("backdrop-data");
  if (block) drawBackdrop(this, JSON.parse(block.textContent).layers);
});
