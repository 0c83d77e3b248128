// The third and fourth question: who goes with what, and when; a form made from the table of trip keys.
import { Refused } from "./desk_ask.js";
import { capital, field } from "./desk_fields.js";
import { linkKeys } from "./desk_links.js";
import { at, button, choice, counted, fold, make, quiet, refill } from "./desk_parts.js";
import { change, known, onNews, undoLine } from "./desk_state.js";
import { choose, filesOf } from "./desk_way.js";

const WHO = ["party", "use", "container", "vehicle", "treatment", "animal", "pump", "kit"];
const HEADS = {
  "": "The trip", party: "People", use: "What water goes on", container: "What holds water", vehicle: "What carries it",
  treatment: "Making water safe", animal: "Animals", pump: "Pumps", kit: "Tools for the water", pace: "Pace",
  section: "Parts of the route with a pace of their own", camp: "Nights at a fixed place", heat: "Heat",
  heat_month: "Heat by month", person: "People who differ", heat_section: "Heat by part of the route", policy: "How careful", contact: "Whom to call",
  what_if: "What may go wrong besides",
};
const TRAVEL = { vehicle: "by vehicle", foot: "on foot", bicycle: "by bicycle" };
const BLANK = /^ *___[_ ]*$/;

const fields = new Map(); // by "section/number/key"
const turns = new Map(); // of each section with items: how often their numbers have come to mean other ones
let [shape, before, shownTurns] = ["", null, new Map()];

export function askTrip() {
  onNews("trip", show);
  onNews("folder", showFile);
  onNews("plan", leadToFields);
}

const placeOf = (section, number, key) => [section, number ?? "", key].join("/");

function show() {
  const { trip } = known;
  for (const { name } of trip.sections) if (!hasSameItems(name, before, trip)) turns.set(name, (turns.get(name) || 0) + 1);
  before = trip;
  tellShort(trip);
  const next = JSON.stringify([trip.file, trip.version !== "", trip.sections.map((section) => [section.name, section.many ? itemsOf(section).length : 0])]);
  if (next !== shape) build(trip);
  else update(trip);
  shape = next;
  showFaults(trip.faults || []);
  showFile();
  leadToFields();
}

// Whether an item's number still means the same one: as many as before, or more or fewer at the end.
function hasSameItems(name, old, now) {
  const [items, next] = [old, now].map((trip) => [(trip && trip.values[name]) || []].flat());
  if (old && old.file !== now.file) return false;
  return items.length === next.length || items.slice(0, next.length).every((one, place) => JSON.stringify(one) === JSON.stringify(next[place]));
}

const itemsOf = (section) => known.trip.values[section.name] || [];

// A trip file that lies there and is not chosen says nothing of this plan.
function isLeftOut() {
  const { trip, folder } = known;
  return Boolean(trip && folder && trip.version !== "" && folder.choice.trip !== trip.file);
}

function tellShort({ values, faults, version }) {
  if (isLeftOut()) {
    for (const id of ["ask-who-told", "ask-when-told"]) at(id).textContent = "no trip file is chosen yet";
    return;
  }
  if (version !== "" && !Object.keys(values).length && faults.length) {
    for (const id of ["ask-who-told", "ask-when-told"]) at(id).textContent = "the trip file cannot be read";
    return;
  }
  const sum = (list, count) => list.reduce((total, one) => total + Number(one[count] ?? 1), 0);
  const [party, top, pace] = [values.party || {}, values[""] || {}, values.pace || {}];
  const containers = sum(values.container || [], "count");
  const people = party.people && !BLANK.test(party.people) ? counted(Number(party.people), "person", "people") : "people not stated";
  at("ask-who-told").textContent = `${people}, ${containers ? counted(containers, "container") : "no containers yet"}`;
  at("ask-when-told").textContent = [dateWords(top.depart), TRAVEL[pace.travel] || ""].filter(Boolean).join(", ");
}

// "Sat 10 Jul 2027, 07:30", whatever the language of the browser: as on the page.
function dateWords(depart) {
  const [date, hour] = String(shownValue(depart) || "").split(/[T ]/);
  const day = new Date(`${date}T00:00`);
  if (Number.isNaN(day.getTime())) return "no date yet";
  const words = day.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short", year: "numeric" }).replace(",", "");
  return hour ? `${words}, ${hour.slice(0, 5)}` : words;
}

function build(trip) {
  const focused = document.activeElement && document.activeElement.id;
  const typed = typedNow();
  const open = [...document.querySelectorAll("#ask-who-in details[open], #ask-when-in details[open]")].map((each) => each.id);
  shownTurns = new Map(turns);
  fields.clear();
  for (const [id, isWho] of [["ask-who-in", true], ["ask-when-in", false]]) {
    const own = trip.sections.filter((section) => WHO.includes(section.name) === isWho);
    if (isWho) own.sort((a, b) => WHO.indexOf(a.name) - WHO.indexOf(b.name));
    const [usual, others] = [own.filter((each) => each.usual), own.filter((each) => !each.usual)];
    at(id).replaceChildren(...(isWho ? [fileWords(trip), make("div", { id: "trip-choice" })] : []), make("div", { class: "faults-room", id: id + "-faults", role: "alert" }), ...usual.map(sectionBox),
      ...others.map((section) => fold(`trip-part-${section.name}`, headOf(section), sectionBox(section))));
  }
  for (const id of open) if (at(id)) at(id).open = true;
  if (focused && at(focused)) at(focused).focus({ preventScroll: true });
  if (typed) typed.giveBack();
}

// Text that is being typed while the form is made anew, where its field is still that of the same thing.
function typedNow() {
  const { id, value, type } = document.activeElement;
  const [place] = [...fields].find(([, made]) => made.inputs.includes(document.activeElement)) || [];
  if (type !== "text" || !place) return null;
  const [section] = place.split("/");
  const turn = shownTurns.get(section);
  const giveBack = () => {
    const again = at(id);
    if (!again || again.value === value || turn !== turns.get(section)) return;
    again.value = value;
    again.addEventListener("blur", () => again.dispatchEvent(new Event("change")), { once: true }); // the browser tells only what was typed since
  };
  return { giveBack };
}

function fileWords({ file, version }) {
  const isThere = version !== "";
  return quiet(isThere ? "Kept in " : "Will be kept in a new file, ", make("bdi", { class: "name" }, file), isThere ? ". Each change is written at once; your own comments stay." : ", as soon as you write something.");
}

// Which trip file, where the folder has several; and the way back.
function showFile() {
  if (!at("trip-choice") || !known.trip || !known.folder) return;
  const isOut = isLeftOut();
  for (const id of ["ask-who-in", "ask-when-in"]) at(id).classList.toggle("left-out", isOut);
  tellShort(known.trip);
  const files = filesOf("trip");
  const list = files.length > 1 || isOut ? choice("trip-file", "Trip file", [["", "none chosen yet"], ...files.map((each) => [each, each])], known.folder.choice.trip, (trip) => choose({ trip: trip || null })) : "";
  refill(at("trip-choice"), isOut ? make("p", {}, make("b", {}, "The plan takes none of the trip files of this folder. Choose one.")) : "", list, undoLine(known.trip.file));
}

function leadToFields() {
  for (const id of ["shown-answer", "shown-before"]) linkKeys(at(id), fieldOf);
}

function fieldOf(key, sections) {
  const own = [...fields].filter(([place]) => place.endsWith("/" + key));
  const [, found] = own.find(([place]) => sections.includes(place.split("/")[0])) || own[0] || [];
  return found;
}

const headOf = (section) => HEADS[section.name] || capital(section.name.replaceAll("_", " "));

function sectionBox(section) {
  const head = section.usual ? make("h3", {}, headOf(section)) : "";
  const help = section.help && section.name ? quiet(section.help) : "";
  const body = section.many ? manyBox(section) : keysBox(section, null, known.trip.values[section.name] || {}, true);
  return make("section", { class: "trip-part" }, head, help, body);
}

function keysBox(section, number, values, hasHelp) {
  const one = (key) => {
    const id = ["trip", section.name || "top", number ?? "", key.name].filter((part) => part !== "").join("-");
    const made = field(key, id, shownValue(values[key.name]), () => write(section, number, key), hasHelp);
    fields.set(placeOf(section.name, number, key.name), made);
    return made.box;
  };
  const [usual, others] = [section.keys.filter((key) => key.usual), section.keys.filter((key) => !key.usual)];
  const id = `trip-more-${section.name || "top"}-${number ?? ""}`;
  const more = others.length ? fold(id, `${others.length} more, rarely needed`, make("div", { class: "fields" }, ...others.map(one))) : "";
  if (!usual.length && others.length) return make("div", { class: "fields" }, ...others.map(one));
  return make("div", {}, make("div", { class: "fields" }, ...usual.map(one)), more);
}

// What the template has left to be filled in shows as empty.
const shownValue = (value) => (typeof value === "string" && BLANK.test(value) ? null : value);

function manyBox(section) {
  const items = itemsOf(section).map((values, place) => {
    const number = place + 1;
    const title = shownValue(values.name) || `${headOf(section)} ${number}`;
    const remove = button("Remove", async () => {
      remove.closest(".trip-part").inert = true; // what is typed there now may be of another item soon
      await send([{ section: section.name, number, remove: true }], { section, number });
      if (remove.isConnected) remove.closest(".trip-part").inert = false;
      else focusNext(at("trip-add-" + section.name));
    }, { class: "small", "aria-label": `Remove ${title}` });
    return make("fieldset", { class: "item" }, make("legend", {}, make("bdi", { class: "name" }, title)), keysBox(section, number, values, number === 1), remove);
  });
  const add = button("Add one", async () => {
    await send([{ section: section.name, add: true }]);
    const first = fields.get(placeOf(section.name, itemsOf(section).length, section.keys[0].name));
    if (first) focusNext(first.first, "trip-add-" + section.name);
  }, { "aria-label": `Add one: ${headOf(section)}`, id: "trip-add-" + section.name });
  return make("div", {}, ...items, add);
}

// Somebody who has gone on to another field stays there.
function focusNext(to, from) {
  const active = document.activeElement;
  if (!active || active === document.body || active.id === from) to.focus();
}

// What somebody is typing, or has typed wrongly, is left alone.
function update(trip) {
  for (const section of trip.sections) {
    const items = section.many ? itemsOf(section) : [trip.values[section.name] || {}];
    items.forEach((values, place) => {
      for (const key of section.keys) {
        const made = fields.get(placeOf(section.name, section.many ? place + 1 : null, key.name));
        if (made && !made.isWrong && !made.inputs.includes(document.activeElement)) made.write(shownValue(values[key.name]));
      }
    });
  }
}

// With it goes what was refused for the sake of this field alone, as a departure after the day due back.
function write(section, number, key) {
  const made = fields.get(placeOf(section.name, number, key.name));
  const waiting = [...fields.values()].filter((each) => each.isWrong && each.waitsFor === made);
  made.wish = { section: section.name, number, key: key.name, value: made.read() };
  made.waitsFor = null;
  return send([...waiting.map((each) => each.wish), made.wish], { made, section, number, waiting });
}

const OTHER = "The trip file has changed meanwhile, and this may be another item by now: nothing was written.";

// Changes of what the form shows, a list or a function that gives it; one of an item that its number may no more mean is refused.
async function send(changes, { made, section, number = null, waiting = [] } = {}) {
  const turnNow = () => JSON.stringify([known.trip.file, number && turns.get(section.name)]);
  const turn = turnNow();
  const body = () => {
    if (turnNow() !== turn || (number && number > itemsOf(section).length)) throw new Refused(409, [{ where: "", sentence: OTHER }]);
    return { changes: typeof changes === "function" ? changes() : changes, version: known.trip.version };
  };
  try {
    if (made) { made.isWrong = false; made.tell(""); }
    await change("/api/trip", body, known.trip.file);
    for (const each of waiting) { each.isWrong = false; each.waitsFor = null; each.tell(""); }
  } catch (error) {
    if (!(error instanceof Refused) || error.isOld) return;
    if (made) made.isWrong = true;
    showFaults(error.faults, made);
  }
}

const NOT_WRITTEN = " Not written: the plan goes on with what was there before.";

// A fault is told at its field in the reader's own sentence, or above the form where it has none.
function showFaults(faults, asked) {
  const rest = [];
  for (const made of fields.values()) if (!made.isWrong || made === asked) made.tell("");
  for (const fault of faults) {
    const made = fields.get(placeOf(fault.section ?? "", fault.number, fault.key)) || (asked && faults.length === 1 ? asked : null);
    if (asked && made && made !== asked && !made.isWrong) {
      if (asked.wish && !asked.wish.number) asked.waitsFor = made;
      asked.tell(`Not written yet: first mend "${capital(made.key.label || made.key.name)}". ${fault.sentence}`);
    } else if (made) made.tell(fault.what === "is still blank" ? "Still to be filled in." : fault.sentence + (asked ? NOT_WRITTEN : ""));
    else rest.push(make("p", {}, fault.sentence));
  }
  for (const id of ["ask-who-in-faults", "ask-when-in-faults"]) if (at(id)) at(id).replaceChildren();
  if (rest.length && at("ask-when-in-faults")) at("ask-when-in-faults").replaceChildren(...rest);
}

// A night at a km of the route, from the map or the slider.
export function addCamp(km) {
  const next = () => itemsOf({ name: "camp" }).length + 1;
  return send(() => [{ section: "camp", add: true }, { section: "camp", number: next(), key: "km", value: String(km) }]);
}
