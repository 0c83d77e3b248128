// The map: the page's own drawing on a Leaflet map of the desk's, with places to mark and to drag.
/* global L, prepareMap, drawPlan, refreshMap, showWhole, connectParts, drawBackdrop, sign, drawing */
import { get } from "./desk_ask.js";
import { at, button, degrees, make, once, placeWords } from "./desk_parts.js";
import { change, known, tellFaults } from "./desk_state.js";

const GROUPS = ["route", "tags", "water", "ways", "uncounted", "camps", "turns", "waits", "marks", "grid"];
const PIN_SHAPE = "M12 2V22M2 12H22";

const shown = { map: null, groups: {}, plan: null, drawn: null, extra: null, pin: null, later: null, backdrop: null, showAt: null, opened: false };
const acts = { mark: () => {}, camp: () => {}, open: () => {} };

// What is done with a place of the map: mark a source, camp, open a source.
export function onPlaces(given) {
  Object.assign(acts, given);
  at("desk-mark-here").addEventListener("click", () => acts.mark({ km: placeKm() }));
  at("desk-camp-here").addEventListener("click", once(() => acts.camp({ km: placeKm() })));
}

// The place of the slider, in km whatever the units shown.
function placeKm() {
  const { length, unit } = known.plan.map;
  const slider = at("place");
  const km = unit === "mile" ? 1.609344 : 1;
  return Number((Number(slider.value) / Number(slider.max) * length * km).toFixed(1));
}

function start(unit) {
  const map = L.map("desk-map", {
    attributionControl: false, zoomControl: false, fadeAnimation: false, worldCopyJump: false, zoomSnap: 0.25, maxZoom: 17,
  });
  map.setView([0, 0], 2);
  L.control.zoom({ position: "bottomleft" }).addTo(map);
  for (const group of GROUPS) shown.groups[group] = L.featureGroup().addTo(map);
  shown.extra = L.featureGroup().addTo(map);
  prepareMap(map, unit);
  map.on("zoomend moveend resize", () => shown.drawn && refreshMap(map, shown.groups, shown.drawn));
  map.on("popupopen", addTools);
  map.on("popupopen", () => { shown.opened = true; setTimeout(() => { shown.opened = false; }); });
  map.on("popupclose", () => setTimeout(drawLater));
  for (const end of ["mouseup", "touchend", "touchcancel"]) document.addEventListener(end, () => setTimeout(drawLater));
  map.on("click", (event) => { if (!shown.opened) offerPlace(event.latlng); });
  new ResizeObserver(() => map.invalidateSize({ animate: false })).observe(map.getContainer());
  return map;
}

// Draws a plan anew, the view kept where the line is the same; what somebody reads in a popup or drags is not drawn away.
export function showMap(plan) {
  at("desk-map-part").hidden = false;
  const isFirst = !shown.map;
  shown.map ||= start(plan.map.unit);
  if (!isFirst && isBusy()) {
    shown.later = plan;
    return;
  }
  shown.later = null;
  redraw(plan, isFirst || lineOf(shown.plan) !== lineOf(plan));
}

// Tells one line from another, whichever way it is travelled.
const lineOf = ({ map, length_km }) => [length_km, ...map.ends.map(({ at: end }) => String(end)).sort()].join(" ");

// Leaflet keeps what is pressed or dragged, a sign or the map, in `_dragging`.
const isBusy = () => Boolean((shown.map._popup && shown.map._popup.isOpen()) || L.Draggable._dragging);

function drawLater() {
  if (shown.later && !isBusy()) showMap(shown.later);
}

function redraw(plan, isWhole) {
  const { map, groups } = shown;
  for (const group of GROUPS) groups[group].clearLayers();
  shown.plan = plan;
  shown.drawn = drawPlan(map, groups, plan.map);
  drawBreaks(plan.breaks || []);
  nameWaters(plan);
  const refresh = () => refreshMap(map, groups, shown.drawn);
  const place = at("place") && at("place").value;
  if (isWhole) showWhole(map, shown.drawn);
  refresh();
  for (const box of document.querySelectorAll("[data-layer]")) box.checked = map.hasLayer(groups[box.dataset.layer]);
  shown.showAt = connectParts(map, groups, plan.map, shown.drawn, refresh);
  if (place && place !== "0") shown.showAt(plan.map.length * Number(place) / Number(at("place").max));
}

// Signs know their source; those of the user's own book can be dragged.
function nameWaters(plan) {
  const own = new Map(((known.water && known.water.sources) || []).map((source) => [source.id, source]));
  (plan.water_ids || []).forEach((id, place) => {
    const [marker, source] = [shown.drawn.waters[place], own.get(id)];
    if (!marker) return;
    marker.deskId = id;
    if (!source || !source.editable) return;
    marker.options.draggable = true;
    if (marker.dragging) marker.dragging.enable();
    marker.off("dragend").on("dragend", () => askMoved(marker, source));
  });
}

// The signs are those of the plan that is drawn, which may be older than the one known.
export const nameWatersAgain = () => { if (shown.plan) nameWaters(shown.plan); };

async function askMoved(marker, source) {
  const to = marker.getLatLng();
  const from = L.latLng(source.lat_deg, source.lon_deg);
  const put = { back: true };
  const keep = () => { put.back = false; shown.map.closePopup(); moveTo(marker, source, to); };
  const words = `Moved ${metres(from.distanceTo(to))}, to ${placeWords(to.lat, to.lng)}.`;
  const popup = L.popup({ maxWidth: 270, autoPanPadding: [8, 8] }).setLatLng(to).setContent(popupBox(
    source.name, make("p", {}, words), buttons(button("Keep it there", keep), button("Put it back", () => shown.map.closePopup()))));
  popup.on("remove", () => { if (put.back) marker.setLatLng(from); });
  popup.openOn(shown.map);
}

function moveTo(marker, source, to) {
  const place = { id: source.id, lat_deg: Number(degrees(to.lat)), lon_deg: Number(degrees(to.lng)) };
  return change("/api/water/move", place, source.layer).catch((error) => {
    marker.setLatLng([source.lat_deg, source.lon_deg]);
    tellFaults(error);
  });
}

const metres = (length_m) => (length_m < 1000 ? `${Math.round(length_m)} m` : `${(length_m / 1000).toFixed(1)} km`);

const buttons = (...all) => make("p", { class: "popup-buttons" }, ...all);

function popupBox(title, ...inside) {
  const head = make("p", { class: "popup-title", tabindex: "-1" }, make("bdi", { class: "name" }, title));
  return make("div", { class: "popup" }, head, ...inside);
}

// A stretch or a source that was opened on the map offers what can be done there.
function addTools(event) {
  const { popup } = event;
  const box = popup.getElement().querySelector(".popup");
  const source = popup._source;
  if (!box || !source || box.querySelector(".popup-buttons")) return;
  const head = box.querySelector(".popup-title");
  if (source.deskId !== undefined) {
    head.after(buttons(button("Correct it, or write a visit", () => { shown.map.closePopup(); acts.open(source.deskId); })));
  } else if (source.getLatLngs) head.after(placeButtons(popup.getLatLng()));
  // Leaflet's own `update` would fetch the content anew, without what was added.
  popup._updateLayout();
  popup._updatePosition();
  popup._adjustPan();
}

const CAMP_OFF_M = 500;

function placeButtons(place) {
  const close = (act) => () => { shown.map.closePopup(); act(place); };
  return buttons(button("Mark a source here", close((to) => acts.mark({ lat: to.lat, lng: to.lng }))),
    button("Camp here", close((to) => acts.camp({ lat: to.lat, lng: to.lng }))));
}

async function offerPlace(place) {
  const popup = L.popup({ maxWidth: 270, autoPanPadding: [8, 8] }).setLatLng(place);
  const told = make("p", {}, placeWords(place.lat, place.lng));
  popup.setContent(popupBox("This place", told, placeButtons(place))).openOn(shown.map);
  const where = await whereIs(place).catch(() => null);
  if (!where) return;
  told.append(make("br"), whereWords(where));
  if (where.offset_m >= CAMP_OFF_M) told.append(make("br"), `A camp is a night on the route: at km ${where.km.toFixed(1)}, not out there.`);
  popup.update();
}

export const whereIs = (place) => get(`/api/where?lat_deg=${place.lat}&lon_deg=${place.lng}`);

export function whereWords(where) {
  return where.offset_m < 20 ? `on the route, km ${where.km.toFixed(1)}` : `${metres(where.offset_m)} from the route at km ${where.km.toFixed(1)}`;
}

function drawBreaks(breaks) {
  shown.extra.clearLayers();
  if (shown.pin) shown.pin.addTo(shown.extra);
  for (const each of breaks) {
    L.polyline([each.from, each.to], { weight: 4, className: "break-line" }).bindPopup(() => popupBox("Look at this", make("p", {}, each.words))).addTo(shown.extra);
    L.circleMarker(each.from, { radius: 9, className: "break-line", fill: false, interactive: false }).addTo(shown.extra);
  }
}

// The place of a source that is being marked, as a cross that can be dragged.
export function showPin(place, moved) {
  hidePin();
  if (!shown.map || !place) return;
  const cross = drawing("svg", { viewBox: "0 0 24 24", width: 24, height: 24, class: "pin", "aria-hidden": "true" });
  cross.append(drawing("circle", { cx: 12, cy: 12, r: 9 }), drawing("path", { d: PIN_SHAPE }));
  shown.pin = sign([place.lat, place.lng], cross, "water-holder", 20, { draggable: true, autoPan: true }).addTo(shown.extra);
  shown.pin.on("dragend", () => moved(shown.pin.getLatLng()));
  if (!shown.map.getBounds().contains(place)) shown.map.panTo(place, { animate: false });
}

export function hidePin() {
  if (shown.pin) shown.pin.remove();
  shown.pin = null;
}

export function showPlace(place) {
  if (!shown.map) return;
  shown.map.setView(place, Math.max(shown.map.getZoom(), 12), { animate: false });
  at("desk-map-part").scrollIntoView({ block: "nearest" });
}

// The user's own map below the route, read once for each choice of files.
export async function showBackdrop() {
  if (!shown.map) return;
  const { html, layers } = await get("/api/backdrop");
  if (shown.backdrop) shown.backdrop.remove();
  shown.backdrop = null;
  at("shown-backdrop").innerHTML = html || ""; // the page's own markup
  if (layers && layers.length) shown.backdrop = drawBackdrop(shown.map, layers);
}
