// Signs that would lie on each other: words look for room beside the route, the rest step back.
"use strict";

const TAG_DISTANCES = [10, 26, 46, 72];
const TAG_DIRECTIONS = [[0, -1], [0, 1], [1, -1], [-1, -1], [1, 1], [-1, 1], [1, 0], [-1, 0]];
const BLOCKED = 1000;
const FAR_REACHING = 2.5;
const NEAR_ENOUGH = 4;

function uncrowd(map, groups, lines) {
  const layers = foremostFirst(map, groups);
  const sizes = layers.map(signSize);
  const route = routePixels(map, lines);
  const kept = [];
  layers.forEach((layer, place) => {
    const tag = layer.getElement().querySelector(".tag");
    const found = tag ? roomForTag(map, layer, sizes[place], kept, route) : ownBox(map, layer, sizes[place]);
    const free = found && !kept.some((other) => overlap(found.box, other));
    layer.getElement().classList.toggle("crowded", !free);
    if (layer.options.isWater) layer.getElement().tabIndex = free ? 0 : -1;
    if (!free) return;
    kept.push(found.box);
    if (tag) moveTag(layer.getElement(), tag, found);
  });
}

// All sizes are read before anything is written, so that the browser lays the page out once.
function signSize(layer) {
  const holder = layer.getElement();
  if (!layer.options.size) {
    const seen = holder.querySelector(".tag") || holder.firstChild;
    const box = seen.getBoundingClientRect();
    layer.options.size = { wide: box.width / 2, tall: box.height / 2 };
  }
  return layer.options.size;
}

// Water stands in the middle of its place; a mark begins there and its figures follow.
function ownBox(map, layer, size) {
  const at = map.latLngToContainerPoint(layer.getLatLng());
  const right = layer.options.begins ? 2 * size.wide - size.tall : size.wide;
  const left = layer.options.begins ? size.tall : size.wide;
  return { box: { left: at.x - left, right: at.x + right, top: at.y - size.tall, bottom: at.y + size.tall } };
}

function foremostFirst(map, groups) {
  const found = [];
  for (const group of [groups.tags, groups.water, groups.uncounted, groups.camps, groups.turns, groups.waits, groups.marks]) {
    if (!map.hasLayer(group)) continue;
    group.eachLayer((layer) => {
      if (layer instanceof L.Marker) found.push(layer);
    });
  }
  return found.sort((a, b) => b.options.rank - a.options.rank);
}

function roomForTag(map, layer, { wide, tall }, kept, route) {
  const at = map.latLngToContainerPoint(layer.getLatLng());
  let best = null;
  const reach = layer.options.rank >= FAR_REACHING ? TAG_DISTANCES.length : 2;
  for (const distance of TAG_DISTANCES.slice(0, reach)) {
    for (const [right, down] of TAG_DIRECTIONS) {
      const x = right * (distance + wide);
      const y = down * (distance + tall);
      const box = { left: at.x + x - wide, right: at.x + x + wide, top: at.y + y - tall, bottom: at.y + y + tall };
      const cost = distance / 20 + tagCost(map.getSize(), box, kept, route);
      if (!best || cost < best.cost) {
        best = { cost: cost, box: box, left: x - wide, right: x + wide, top: y - tall, bottom: y + tall };
      }
    }
    if (best.cost < NEAR_ENOUGH) break;
  }
  const most = layer.options.rank >= FAR_REACHING ? BLOCKED : NEAR_ENOUGH;
  return best.cost < most ? best : null;
}

function moveTag(holder, tag, { left, top, right, bottom }) {
  tag.style.left = left + "px";
  tag.style.top = top + "px";
  const end = [clamp(0, left, right), clamp(0, top, bottom)];
  holder.querySelector(".leader path").setAttribute("d", "M0 0L" + end.join(" "));
}

function tagCost(size, box, kept, route) {
  const outside = box.left < 2 || box.top < 2 || box.right > size.x - 2 || box.bottom > size.y - 2;
  if (outside || kept.some((other) => overlap(box, other))) return BLOCKED;
  let covered = 0;
  for (const point of route) if (inside(point, box)) covered += 1;
  return covered;
}

// The route as points about 8 pixels apart, as far as it is in view.
function routePixels(map, lines) {
  const size = map.getSize();
  const view = { left: -50, top: -50, right: size.x + 50, bottom: size.y + 50 };
  const found = [];
  for (const line of lines) {
    let last = null;
    for (const place of line.getLatLngs()) {
      const point = map.latLngToContainerPoint(place);
      if (last && point.distanceTo(last) < 8) continue;
      if (last && (inside(point, view) || inside(last, view))) fillBetween(last, point, found);
      last = point;
    }
  }
  return found;
}

function fillBetween(a, b, found) {
  const parts = Math.min(200, Math.ceil(a.distanceTo(b) / 8));
  for (let part = 1; part <= parts; part += 1) {
    found.push({ x: a.x + (b.x - a.x) * part / parts, y: a.y + (b.y - a.y) * part / parts });
  }
}

function inside(point, box) {
  return point.x > box.left && point.x < box.right && point.y > box.top && point.y < box.bottom;
}

function overlap(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

function clamp(value, least, most) {
  return Math.min(Math.max(value, least), most);
}
