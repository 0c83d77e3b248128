// Signs that would lie on each other: words look for room beside the route, the rest step back.
"use strict";

const TAG_DISTANCES = [10, 15, 26, 46, 72];
const LEADER_FROM = 20;
const WATER_SIZE = { wide: 12, tall: 12 }; // half of what is pressed, however small the sign is drawn
const TAG_DIRECTIONS = [[0, -1], [0, 1], [1, -1], [-1, -1], [1, 1], [-1, 1], [1, 0], [-1, 0]];
const BLOCKED = 1000;
const CROSSING = 6; // also a name that would be read as that of another sign
const SIGN_EDGE = 10; // of the sign of water, where a leader begins
const AS_NEAR = 4;
const MOST_SIGNS = 60; // of water that is passed by, in view; more of it are specks without names
const MUST_STAND = 10; // gaps, turn-backs before them, ends and calls
const GAP = 14; // a name is rather left out than crossed by a leader, the words of a gap never
const MOST_AT_ANY_PRICE = 12;
const FAR_REACHING = 2.5;
const NEAR_ENOUGH = 4;

function uncrowd(map, groups, lines) {
  const layers = foremostFirst(map, groups);
  const specks = countInView(map, layers) > MOST_SIGNS;
  map.getContainer().classList.toggle("specks", specks);
  const sizes = layers.map(signSize);
  const picture = {
    size: map.getSize(), route: routePixels(map, lines), kept: [], leaders: [], placed: 0, controls: controlBoxes(map),
    calls: layers.filter(({ options }) => options.isCall).map((layer) => map.latLngToContainerPoint(layer.getLatLng())),
  };
  layers.forEach((layer, place) => {
    const tag = layer.getElement().querySelector(".tag");
    if (specks && (tag ? tag.classList.contains("aside") : layer.options.isWater && !layer.options.isCall)) {
      layer.getElement().classList.toggle("crowded", Boolean(tag));
      layer.getElement().tabIndex = -1;
      return;
    }
    const found = tag ? roomForTag(map, layer, sizes[place], picture) : ownBox(map, layer, sizes[place]);
    const cut = layer.options.begins && found.box.right > picture.size.x - 2;
    const free = found && !cut && !picture.kept.some((other) => overlap(found.box, other));
    layer.getElement().classList.toggle("crowded", !free);
    if (layer.options.isWater) layer.getElement().tabIndex = free ? 0 : -1;
    if (!free) return;
    picture.kept.push(found.box);
    if (found.leader) picture.leaders.push(found.leader);
    if (tag) picture.placed += 1;
    if (tag) moveTag(layer.getElement(), tag, found);
  });
  hideBelow(map, picture.kept);
}

// Degrees step back where a name or a sign lies on them.
function hideBelow(map, kept) {
  const frame = map.getContainer().getBoundingClientRect();
  const words = [...map.getContainer().querySelectorAll(".grid-words span")];
  const boxes = words.map((word) => boxIn(frame, word));
  words.forEach((word, place) => word.classList.toggle("crowded", kept.some((other) => overlap(boxes[place], other))));
}

function countInView(map, layers) {
  const view = map.getBounds();
  return layers.filter(({ options, _latlng }) => options.isWater && !options.isCall && view.contains(_latlng)).length;
}

// Words never stand below the buttons or the scale.
function controlBoxes(map) {
  const frame = map.getContainer().getBoundingClientRect();
  return [...map.getContainer().querySelectorAll(".leaflet-control")].map((control) => boxIn(frame, control));
}

function boxIn(frame, thing) {
  const box = thing.getBoundingClientRect();
  return { left: box.left - frame.left, right: box.right - frame.left, top: box.top - frame.top, bottom: box.bottom - frame.top };
}

// All sizes are read before anything is written, so that the browser lays the page out once.
function signSize(layer) {
  const holder = layer.getElement();
  if (layer.options.isWater) return WATER_SIZE;
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

function roomForTag(map, layer, { wide, tall }, picture) {
  const at = map.latLngToContainerPoint(layer.getLatLng());
  let best = null;
  const reach = layer.options.rank >= FAR_REACHING ? TAG_DISTANCES.length : 2;
  for (const distance of TAG_DISTANCES.slice(0, reach)) {
    for (const [right, down] of TAG_DIRECTIONS) {
      const x = right * (distance + wide);
      const y = down * (distance + tall);
      const box = { left: at.x + x - wide, right: at.x + x + wide, top: at.y + y - tall, bottom: at.y + y + tall };
      const leader = apart(at, box) < LEADER_FROM ? null : { from: at, to: nearest(at, box) };
      const cost = distance / 20 + tagCost(box, leader, picture) + strayCost(at, box, leader, layer, picture);
      if (!best || cost < best.cost) {
        best = { cost: cost, box: box, leader: leader, left: x - wide, right: x + wide, top: y - tall, bottom: y + tall };
      }
    }
    if (best.cost < NEAR_ENOUGH) break;
  }
  const stands = layer.options.rank >= MUST_STAND && picture.placed < MOST_AT_ANY_PRICE;
  const isGap = layer.options.rank >= GAP;
  const most = !stands ? NEAR_ENOUGH : isGap ? BLOCKED : CROSSING;
  return best.cost < most ? best : null;
}

function moveTag(holder, tag, { left, top, right, bottom, leader }) {
  tag.style.left = left + "px";
  tag.style.top = top + "px";
  const end = nearest({ x: 0, y: 0 }, { left, top, right, bottom });
  const from = tag.classList.contains("call") ? SIGN_EDGE / Math.hypot(end.x, end.y) : 0;
  const line = "M" + [from * end.x, from * end.y].join(" ") + "L" + [end.x, end.y].join(" ");
  holder.querySelector(".leader path").setAttribute("d", leader ? line : "M0 0");
}

function tagCost(box, leader, { size, route, kept, leaders, controls }) {
  const outside = box.left < 2 || box.top < 2 || box.right > size.x - 2 || box.bottom > size.y - 2;
  const hits = (other) => overlap(box, other);
  if (outside || kept.some(hits) || controls.some(hits)) return BLOCKED;
  let cost = 0;
  for (const point of route) if (inside(point, box)) cost += 1;
  for (const other of leaders) if (runsThrough(other, box)) cost += CROSSING;
  if (!leader) return cost;
  for (const other of kept) if (!inside(leader.from, other) && runsThrough(leader, other)) cost += CROSSING;
  for (const other of leaders) if (cross(leader, other)) cost += CROSSING / 2;
  return cost;
}

// A name beside the sign of other water would be read as its name; a thin line to its own tells them apart.
function strayCost(at, box, leader, layer, { calls }) {
  if (!layer.options.isName) return 0;
  const near = leader ? SIGN_EDGE : apart(at, box) + AS_NEAR;
  return calls.some((other) => other.distanceTo(at) > 2 && apart(other, box) <= near) ? CROSSING : 0;
}

// Whether a leader runs through a box: one end lies in it, or it crosses one of its diagonals.
function runsThrough(leader, box) {
  const [a, b] = [{ x: box.left, y: box.top }, { x: box.right, y: box.bottom }];
  const [c, d] = [{ x: box.right, y: box.top }, { x: box.left, y: box.bottom }];
  return inside(leader.from, box) || inside(leader.to, box) || cross(leader, { from: a, to: b }) || cross(leader, { from: c, to: d });
}

function cross(one, other) {
  const side = (line, point) => Math.sign((line.to.x - line.from.x) * (point.y - line.from.y) - (line.to.y - line.from.y) * (point.x - line.from.x));
  return side(one, other.from) * side(one, other.to) < 0 && side(other, one.from) * side(other, one.to) < 0;
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

function nearest(point, box) {
  return { x: clamp(point.x, box.left, box.right), y: clamp(point.y, box.top, box.bottom) };
}

function apart(point, box) {
  const to = nearest(point, box);
  return Math.hypot(to.x - point.x, to.y - point.y);
}

function overlap(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

function clamp(value, least, most) {
  return Math.min(Math.max(value, least), most);
}
