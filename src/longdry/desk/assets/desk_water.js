// The second question: which water. Layers that count, a table of sources, and what is done with one.
import { showBring } from "./desk_bring.js";
import { chooseFile, takeIn } from "./desk_files.js";
import { nameWatersAgain } from "./desk_map.js";
import { at, button, counted, fold, make, name, quiet, refill, ticked } from "./desk_parts.js";
import { markSource, openSource } from "./desk_source.js";
import { known, onNews, undoLine } from "./desk_state.js";
import { choose, chooseToo, filesOf } from "./desk_way.js";

const MOST_ROWS = 150;
const COLUMNS = [
  ["name", "Source", (source) => source.name || ""],
  ["km", "km", (source) => (hasKm(source) ? source.km : Infinity)],
  ["off", "Off the route", (source) => (hasKm(source) ? source.offset_m : Infinity)],
  ["grade", "Grade", (source) => GRADES.indexOf(source.grade)],
  ["water", "Is there water?", (source) => CERTAINTIES.indexOf(source.certainty)],
];
const GRADES = ["potable", "treat-before-drinking", "not-for-drinking"];
const CERTAINTIES = ["certain", "likely", "doubtful"];
const FILTERS = [
  ["all", "all", () => true],
  ["counts", "what counts", (source) => source.counts],
  ["not", "what does not count", (source) => !source.counts],
  ["own", "in my own book", (source) => source.editable],
  ["doubtful", "doubtful water", (source) => source.certainty === "doubtful"],
];

const view = { text: "", filter: "all", by: "km", down: false };

const hasPlan = () => Boolean(known.plan && known.plan.ready.plan);
const hasKm = (source) => source.km !== null && source.km !== undefined;

export function askWater() {
  onNews("water", () => { show(); nameWatersAgain(); });
  onNews("folder", show);
}

function show() {
  if (!known.water || !known.folder) return;
  const { sources } = known.water;
  const count = sources.filter((source) => source.counts).length;
  const words = hasPlan() ? `, ${count} count${count === 1 ? "s" : ""}` : "";
  at("ask-water-told").textContent = sources.length ? counted(sources.length, "source") + words : "none yet";
  refill(at("ask-water-in"), tools(), make("div", { id: "water-work", tabindex: "-1" }, [...(at("water-work") ? at("water-work").childNodes : [])]),
    sources.length ? make("div", { class: "sifting" }, searchField(), filterField()) : "", make("div", { id: "water-rows" }), layers(), ...filesOf("water", "book").map(undoLine));
  showRows();
}

function tools() {
  return make("p", { class: "tools-row" },
    button("Mark a source", () => markSource({}), { id: "water-mark", class: "main" }),
    button("Bring in a file of others", () => showBring(), { id: "water-bring" }));
}

function layers() {
  const files = filesOf("water", "book");
  if (!files.length) return quiet("No layer of water is in the folder. Mark a source, or bring in a file.");
  const { water } = known.folder.choice;
  const toggle = (file) => (isOn) => (isOn ? chooseToo(file) : choose((now) => ({ water: now.water.filter((one) => one !== file) })));
  const box = (file, place) => ticked("water-layer-" + place, make("span", {}, name(file), file === known.water.book ? " (your own book: what you mark is written here)" : ""), water.includes(file), toggle(file));
  return fold("water-layers", `Files that the plan reads (${water.length})`, make("div", { class: "stack" }, ...files.map(box)),
    button("Add a layer as it is", () => chooseFile((file) => takeIn(file, "water", chooseToo))));
}

function searchField() {
  const input = make("input", { type: "text", id: "water-search", autocomplete: "off", input: () => { view.text = input.value; showRows(); } });
  input.value = view.text;
  return make("p", { class: "field" }, make("label", { for: "water-search" }, "Search"), input);
}

function filterField() {
  const list = make("select", { id: "water-filter", change: () => { view.filter = list.value; showRows(); } }, ...FILTERS.map(([key, words]) => make("option", { value: key }, words)));
  list.value = view.filter;
  return make("p", { class: "field" }, make("label", { for: "water-filter" }, "Show"), list);
}

function sifted() {
  const wanted = view.text.trim().toLowerCase();
  const [, , passes] = FILTERS.find(([key]) => key === view.filter);
  const [, , worth] = COLUMNS.find(([key]) => key === view.by);
  const holds = (source) => [source.name, source.id, source.kind, source.note, source.access].some((text) => String(text || "").toLowerCase().includes(wanted));
  const found = known.water.sources.filter((source) => passes(source) && (!wanted || holds(source)));
  const order = (a, b) => (typeof worth(a) === "string" ? worth(a).localeCompare(worth(b)) : worth(a) - worth(b) || 0);
  found.sort(order);
  return view.down ? found.reverse() : found;
}

function showRows() {
  const found = sifted();
  const all = known.water.sources.length;
  const rows = found.slice(0, MOST_ROWS).map(row);
  const more = found.length - rows.length;
  const table = make("table", { class: "sources" },
    make("caption", {}, make("span", { role: "status" }, found.length === all ? counted(all, "source") : `${found.length} of ${counted(all, "source")}`)),
    make("thead", {}, make("tr", {}, ...COLUMNS.map(head))), make("tbody", {}, ...rows));
  const room = make("div", { class: "rows-room", tabindex: "0", role: "region", "aria-label": "Sources" }, table);
  refill(at("water-rows"), all ? room : "", more > 0 ? quiet(`${more} more: search, or show fewer.`) : "");
}

function head([key, words]) {
  const isBy = view.by === key;
  const turn = () => { view.down = isBy && !view.down; view.by = key; showRows(); };
  const arrow = isBy ? (view.down ? " ↓" : " ↑") : "";
  return make("th", { scope: "col", "aria-sort": isBy ? (view.down ? "descending" : "ascending") : "none" }, button(words + arrow, turn, { id: "water-by-" + key }));
}

function row(source) {
  const isPlanned = hasPlan(); // without one nobody knows what counts
  const off = !hasKm(source) ? "" : source.offset_m < 20 ? "on it" : source.offset_m < 1000 ? `${Math.round(source.offset_m)} m` : `${(source.offset_m / 1000).toFixed(1)} km`;
  const open = button("", () => openSource(source.id), { class: "plain", id: "water-row-" + source.id });
  open.append(name(source.name));
  const cells = [
    make("th", { scope: "row" }, open), make("td", { class: "number" }, hasKm(source) ? source.km.toFixed(1) : isPlanned ? "far" : ""),
    make("td", { class: "number" }, off), make("td", {}, gradeWords(source.grade)),
    make("td", {}, source.certainty || "", source.counts || !isPlanned ? "" : make("b", {}, source.certainty ? ", does not count" : "does not count")),
  ];
  return make("tr", source.counts || !isPlanned ? {} : { class: "uncounted" }, ...cells);
}

function gradeWords(grade) {
  return { potable: "potable", "treat-before-drinking": "treat first", "not-for-drinking": "not for drinking" }[grade] || "not known: not for drinking";
}
