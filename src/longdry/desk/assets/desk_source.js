// One source: marked, corrected, visited, retired. The place is a km of the route, degrees, or a tap of the map.
import { hidePin, showPin, whereIs, whereWords } from "./desk_map.js";
import { at, button, degrees, fold, make, name, oneOf, placeWords, quiet, showAsk } from "./desk_parts.js";
import { capital, field } from "./desk_fields.js";
import { Refused, get } from "./desk_ask.js";
import { change, known } from "./desk_state.js";

const USUAL = ["name", "grade", "kind", "access", "months", "flow_l_per_min", "note"];
const NEW_BOOK = "water_book.geojson";

let placing = null; // moves the place of the form that is open

const work = () => at("water-work");

function closeWork() {
  hidePin();
  placing = null;
  work().replaceChildren();
}

function openWork(head, ...inside) {
  const title = make("h3", { tabindex: "-1" }, head);
  work().replaceChildren(make("div", { class: "work" }, title, ...inside));
  showAsk("ask-water", work());
  title.focus({ preventScroll: true });
}

// The new source's form, with its place as far as it is known: {km}, {lat, lng} or nothing.
export function markSource(place) {
  if (placing && at("mark-where-box") && place.km === undefined && place.lat !== undefined) return placing(place);
  const fields = known.water.fields.map((key) => field(key, "mark-" + key.name, null, () => {}));
  const where = placeFields(place);
  const fault = faultBox();
  const save = (anyway) => send("/api/water/mark", known.water.book, async () => ({ ...await where.read(), properties: propertiesOf(fields), ...(anyway ? { anyway } : {}) }), [...fields, ...where.fields], fault, save);
  openWork("Mark a source", where.box, grid(fields, "mark-more"), fault, formButtons("Mark it", () => save(false)));
  if (place.lat !== undefined || place.km !== undefined) fields[0].first.focus({ preventScroll: true });
  return undefined;
}

// What most sources have stands first; the rest is folded.
function grid(fields, id) {
  const isUsual = ({ key }) => !id || USUAL.includes(key.name);
  const [usual, others] = [fields.filter(isUsual), fields.filter((each) => !isUsual(each))];
  usual.sort((a, b) => USUAL.indexOf(a.key.name) - USUAL.indexOf(b.key.name));
  const boxes = (some) => make("div", { class: "fields" }, ...some.map((each) => each.box));
  return make("div", {}, boxes(usual), others.length ? fold(id, `${others.length} more, where you know them`, boxes(others)) : "");
}

const faultBox = () => make("div", { class: "faults-room", role: "alert" });

function formButtons(words, act) {
  return make("p", { class: "tools-row" }, button(words, act, { class: "main" }), button("Leave it", leave));
}

function leave() {
  closeWork();
  at("water-mark").focus();
}

const propertiesOf = (fields) => Object.fromEntries(fields.map((each) => [each.key.name, each.read()]).filter(([, value]) => value !== null));

// Sends a form; each fault is told at its field, and what has no field above the buttons.
async function send(path, file, body, fields, fault, again) {
  fault.replaceChildren();
  for (const each of fields) each.tell("");
  try {
    await change(path, await body(), file || NEW_BOOK);
    closeWork();
    at("water-mark").focus();
  } catch (error) {
    if (!(error instanceof Refused)) return;
    tellAt(error.faults, fields, fault, again);
  }
}

const PLACES = { lat: "lat_deg", lon: "lon_deg" };

function tellAt(faults, fields, fault, again) {
  let first = null;
  for (const each of faults) {
    const own = fields.find(({ key }) => key.name === each.where || PLACES[each.where] === key.name);
    if (own) own.tell(each.sentence);
    else fault.append(make("p", {}, each.sentence));
    if (own && own.box.closest("details")) own.box.closest("details").open = true;
    if (own) first ||= own.first;
    if (each.where === "anyway" && again) fault.append(button("It is another one: mark it all the same", () => again(true)));
  }
  if (first) first.focus();
}

// Two ways of saying where; a tap on the map or a dragged cross fills in the second.
function placeFields(place) {
  const km = field({ name: "km", label: "km along the route", kind: "number" }, "mark-km", place.km ?? null, () => told(true));
  const lat = field({ name: "lat_deg", label: "latitude", kind: "number", unit: "degrees, south is negative" }, "mark-lat", null, () => told(true));
  const lon = field({ name: "lon_deg", label: "longitude", kind: "number", unit: "degrees, west is negative" }, "mark-lon", null, () => told(true));
  const words = make("p", { class: "q", role: "status" });
  const isKm = place.lat === undefined;
  const state = { isKm };
  const show = () => { km.box.hidden = !state.isKm; lat.box.hidden = lon.box.hidden = state.isKm; };
  const setPlace = (to) => {
    lat.write(degrees(to.lat));
    lon.write(degrees(to.lng));
  };
  const turn = (isOn) => { state.isKm = isOn; show(); told(true); };
  const dragged = (to) => { byDegrees.checked = true; state.isKm = false; setPlace(to); show(); told(false); };
  placing = (to) => { dragged(to); showPin(to, dragged); };

  // Tells in words where that is, and shows it on the map.
  async function told(moves) {
    words.textContent = "";
    const found = await foundPlace(state.isKm, km, lat, lon);
    if (!found) return;
    words.textContent = found.words;
    if (state.isKm) setPlace(found.at);
    if (moves) showPin(found.at, dragged);
  }

  const legend = make("legend", {}, "Where? You can also tap the map, and drag the cross.");
  const box = make("fieldset", { class: "place", id: "mark-where-box" }, legend,
    oneOf("mark-where", "mark-by-km", "by km along the route", isKm, () => turn(true)),
    oneOf("mark-where", "mark-by-degrees", "by latitude and longitude", !isKm, () => turn(false)),
    make("div", { class: "fields" }, km.box, lat.box, lon.box), words);
  const byDegrees = box.querySelector("#mark-by-degrees");
  if (!isKm) setPlace(place);
  show();
  told(true);
  const ofKm = async () => {
    const { lat_deg, lon_deg } = await get("/api/where?km=" + encodeURIComponent(km.read() ?? ""));
    return { lat_deg, lon_deg };
  };
  return { box, fields: [km, lat, lon], read: () => (state.isKm ? ofKm() : { lat_deg: lat.read(), lon_deg: lon.read() }) };
}

async function foundPlace(isKm, km, lat, lon) {
  if (isKm) {
    if (km.read() === null) return null;
    const found = await get("/api/where?km=" + encodeURIComponent(km.read())).catch(() => null);
    return found && { at: { lat: found.lat_deg, lng: found.lon_deg }, words: `That is ${placeWords(found.lat_deg, found.lon_deg)}.` };
  }
  const place = { lat: Number(lat.read() ?? NaN), lng: Number(lon.read() ?? NaN) };
  if (!(Math.abs(place.lat) <= 90 && Math.abs(place.lng) <= 180)) return null;
  const where = await whereIs(place).catch(() => null);
  return { at: place, words: where ? `That is ${whereWords(where)}.` : "" };
}

// All that is known of a source, and what can be done with it.
export function openSource(id) {
  const source = known.water.sources.find((one) => one.id === id);
  if (!source) return;
  closeWork();
  openWork("", facts(source), visits(source),
    fold("source-visit", "Write a visit: what did you find?", visitForm(source)),
    source.editable ? fold("source-change", "Correct what is known of it", changeForm(source)) : quiet(`It stands in ${source.layer}, which is not your own book: bring it into the book to correct it here.`),
    source.editable ? fold("source-move", "Correct its place (or drag it on the map)", moveForm(source)) : "",
    source.editable && !source.retired ? fold("source-retire", "Nobody should count on it any more", retireForm(source)) : "",
    make("p", { class: "tools-row" }, button("Close", leave)));
  work().querySelector("h3").append(name(source.name));
}

function facts(source) {
  const worth = (value) => (Array.isArray(value) && value.length === 12 ? "all year" : Array.isArray(value) ? value.join(", ") : value === true ? "yes" : value === false ? "no" : String(value));
  const rows = known.water.fields.filter((key) => key.name !== "name" && isGiven(ownWord(source, key.name))).map((key) => [capital(key.label), worth(ownWord(source, key.name)) + (key.unit ? " " + key.unit : "")]);
  const told = source.counts ? `${source.certainty || ""}: it counts`.replace(/^: /, "") : `it does not count${source.why_not ? ": " + source.why_not : ""}`;
  const counts = source.why && (source.counts || /doubtful/.test(source.why_not)) ? `${told} (${source.why})` : told;
  const km = source.km ?? null;
  const place = km !== null ? whereWords(source) + "; " : known.plan && known.plan.ready.plan ? "not near the route; " : "";
  return make("dl", { class: "facts-list" }, ...[["Water", counts], ["Place", `${place}${placeWords(source.lat_deg, source.lon_deg)}`], ...rows, ["File", source.layer]]
    .filter(([, value]) => value).map(([head, value]) => [make("dt", {}, head), make("dd", {}, make("bdi", { class: "name" }, value))]));
}

const isGiven = (value) => value !== null && value !== undefined && value !== "" && value !== false;

function visits(source) {
  const all = source.visits || [];
  if (!all.length) return quiet("No visit is written down.");
  const words = (visit) => [visit.on, visit.found, visit.litres ? `${visit.litres} L taken` : "", visit.note].filter(Boolean).join(", ");
  return make("div", {}, make("h4", {}, "Visits"), make("ul", {}, ...all.map((visit) => make("li", {}, make("bdi", { class: "name" }, words(visit))))));
}

const today = () => new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);

function form(fields, words, act, fault, more = "") {
  return make("div", {}, grid(fields, more), fault, make("p", { class: "tools-row" }, button(words, act, { class: "main" })));
}

function visitForm(source) {
  const fields = known.water.visit_fields.map((key) => field(key, "visit-" + key.name, key.name === "on" ? today() : null, () => {}));
  const fault = faultBox();
  return form(fields, "Write the visit", () => send("/api/water/visit", source.layer, () => ({ id: source.id, ...propertiesOf(fields) }), fields, fault), fault);
}

// Only what was changed is sent; the rest of the book stays as it is, to the byte.
function changeForm(source) {
  const fields = known.water.fields.map((key) => field(key, "change-" + key.name, ownWord(source, key.name), () => {}));
  const fault = faultBox();
  const before = new Map(fields.map((each) => [each, JSON.stringify(each.read())]));
  const changed = () => Object.fromEntries(fields.filter((each) => JSON.stringify(each.read()) !== before.get(each)).map((each) => [each.key.name, each.read()]));
  return form(fields, "Write it so", () => send("/api/water/change", source.layer, () => ({ id: source.id, properties: changed() }), fields, fault), fault, "change-more");
}

// What the book says; the certainty that was worked out is no word of it.
const ownWord = (source, key) => (key === "certainty" ? source.certainty_by_hand : source[key]);

function moveForm(source) {
  const lat = field({ name: "lat_deg", label: "latitude", kind: "number", unit: "degrees, south is negative" }, "move-lat", degrees(source.lat_deg), () => {});
  const lon = field({ name: "lon_deg", label: "longitude", kind: "number", unit: "degrees, west is negative" }, "move-lon", degrees(source.lon_deg), () => {});
  const fault = faultBox();
  return form([lat, lon], "Move it there", () => send("/api/water/move", source.layer, () => ({ id: source.id, lat_deg: lat.read(), lon_deg: lon.read() }), [lat, lon], fault), fault);
}

function retireForm(source) {
  const why = field({ name: "why", label: "Why", kind: "text", required: true, help: "It stays in the book with all that is known of it, and no plan counts it." }, "retire-why", null, () => {});
  const fault = faultBox();
  return form([why], "Retire it", () => send("/api/water/retire", source.layer, () => ({ id: source.id, why: why.read() }), [why], fault), fault);
}
