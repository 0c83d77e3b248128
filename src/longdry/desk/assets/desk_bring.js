// Another's layer into the user's own book: its columns mapped by lists, tried before it is written.
import { Refused, post } from "./desk_ask.js";
import { chooseFile, takeIn } from "./desk_files.js";
import { at, button, choice, faultList, make, name, plainWord, quiet, showAsk, ticked } from "./desk_parts.js";
import { change, known, tellFaults } from "./desk_state.js";
import { filesOf } from "./desk_way.js";

// Advice for the command line: here the lists and the box above do it.
const FOR_COMMANDS = /[:;] (of (a layer of your own|somebody else's file), say [^.]*--fields file|longdry bring takes one)[^.]*\./;

const plain = (words) => words.replace(FOR_COMMANDS, ".").replace(/ in \[grades\] of a --fields file/, " above").replace(/ \(longdry bring [^)]*\)/, "");
const LAYER = /^(?!plan[._]).*\.(csv|tsv|geojson|json|gpx|kml|kmz|gpkg|shp|tab|fgb)$/i; // what may be a layer, and is none that the desk itself saves
const HAS_POINTS = /\.(gpx|kml|kmz)$/i; // a route in such a file may have waypoints beside it
const UNUSED = "";
const PLACES = [{ name: "lat", label: "latitude" }, { name: "lon", label: "longitude" }, { name: "id", label: "short name of its own (id)" }];
const MOST_SHOWN = 8;

// First: which file.
export function showBring() {
  const files = [...filesOf("water"), ...filesOf("route").filter((file) => HAS_POINTS.test(file)), ...filesOf("other").filter((file) => LAYER.test(file))].filter((file) => file !== known.water.book);
  const list = files.length ? make("ul", { class: "stack" }, ...files.map((file) => make("li", {}, button(file, () => look(file))))) : "";
  open("Bring in a file of others", quiet("What it tells is copied into your own book; nothing in the book is overwritten. Nothing is written before you have seen what would be."),
    list, button("Choose a file", () => chooseFile((file) => takeIn(file, "water", look)), { class: "main" }));
}

function open(head, ...inside) {
  const title = make("h3", { tabindex: "-1" }, head);
  const leave = button("Leave it", () => { at("water-work").replaceChildren(); at("water-bring").focus(); });
  at("water-work").replaceChildren(make("div", { class: "work" }, title, ...inside, make("p", { class: "tools-row" }, leave)));
  showAsk("ask-water", at("water-work"));
  title.focus({ preventScroll: true });
}

// Then: what each of its columns tells.
async function look(file) {
  let found;
  try {
    found = await post("/api/water/bring/look", { file });
  } catch (error) {
    if (error instanceof Refused) open("Bring in a file of others", faultList(error.faults));
    return;
  }
  const taken = new Map(found.columns.map((column) => [column.name, column.taken_as || UNUSED]));
  const words = { grades: {}, kinds: {} };
  const state = { file, found, taken, words, own: false };
  open("What its columns tell", make("p", {}, name(file)), columns(state), preview(found),
    ticked("bring-own", "My party recorded it. Without this its new sources are doubtful until somebody has visited them.", false, (isOn) => { state.own = isOn; }),
    make("div", { id: "bring-words" }), make("div", { id: "bring-told", role: "status" }),
    make("p", { class: "tools-row" }, button("Show what would come in", () => bring(state, true), { class: "main", id: "bring-try" })));
  showWords(state);
}

function columns(state) {
  const { found, taken } = state;
  const options = [[UNUSED, "nothing that counts: it comes along"], ...[...found.our, ...PLACES.filter((one) => !found.our.some((own) => own.name === one.name))].map((one) => [one.name, one.label || one.name])];
  const row = (column, place) => {
    const list = choice("bring-column-" + place, "", options, taken.get(column.name), (value) => {
      taken.set(column.name, value);
      freeOthers(state, column.name);
      showWords(state);
    });
    list.querySelector("label").append(make("span", { class: "unseen" }, "taken as, for "), name(column.name));
    const examples = (column.examples || []).slice(0, 3).map(String).join(", ");
    list.append(make("span", { class: "hint" }, examples ? "such as " : "empty", make("bdi", { class: "name" }, examples)));
    return list;
  };
  return make("div", { class: "columns" }, ...found.columns.map(row));
}

// One column tells each thing: where another is chosen for it, the one before tells nothing.
function freeOthers({ found, taken }, chosen) {
  found.columns.forEach(({ name: other }, place) => {
    if (other === chosen || taken.get(other) !== taken.get(chosen)) return;
    taken.set(other, UNUSED);
    at("bring-column-" + place).value = UNUSED;
  });
}

function preview({ columns: all, rows }) {
  if (!rows || !rows.length) return "";
  const head = make("tr", {}, ...all.map((column) => make("th", { scope: "col" }, name(column.name))));
  const line = (row) => make("tr", {}, ...all.map((column, place) => make("td", {}, make("bdi", {}, String((Array.isArray(row) ? row[place] : row[column.name]) ?? "")))));
  const table = make("table", { class: "first-lines" }, make("caption", {}, `Its first ${Math.min(rows.length, MOST_SHOWN)} lines`), make("thead", {}, head), make("tbody", {}, ...rows.slice(0, MOST_SHOWN).map(line)));
  return make("div", { class: "rows-room", tabindex: "0", role: "region", "aria-label": "First lines of the file" }, table);
}

// Words of a grade or a kind that mean nothing here are mapped one by one.
function showWords(state) {
  const part = (ours, head) => {
    const column = [...state.taken].find(([, taken]) => taken === ours);
    const seen = column && state.found.words && state.found.words[column[0]];
    const known = (state.found.our || []).find((one) => one.name === ours);
    if (!seen || !seen.length || !known || !known.words) return "";
    const list = state.words[ours + "s"];
    const row = (word, place) => {
      const made = choice(`bring-${ours}-${place}`, "", [["", "as it stands"], ...known.words.map((one) => [one, plainWord(one)])], list[word] || "", (value) => { list[word] = value; });
      made.querySelector("label").append(make("bdi", {}, String(word)));
      return made;
    };
    return make("fieldset", {}, make("legend", {}, head), ...seen.map(row));
  };
  at("bring-words").replaceChildren(...[part("grade", "Its words for the grade"), part("kind", "Its words for the kind")].filter(Boolean));
}

function mappingOf({ taken, words, own }) {
  const fields = Object.fromEntries([...taken].filter(([, ours]) => ours).map(([theirs, ours]) => [ours, theirs]));
  const filled = (list) => Object.fromEntries(Object.entries(list).filter(([, value]) => value));
  return { fields, grades: filled(words.grades), kinds: filled(words.kinds), own };
}

// Last: what would come in; only then can it be written.
async function bring(state, isTry) {
  const told = at("bring-told");
  const body = { file: state.file, mapping: mappingOf(state), dry_run: isTry };
  try {
    if (!isTry) {
      await change("/api/water/bring", body, known.water.book);
      at("water-work").replaceChildren();
      at("water-bring").focus();
      return;
    }
    const answer = await post("/api/water/bring", body);
    at("bring-try").classList.remove("main");
    told.replaceChildren(make("h4", {}, "This would come in"), make("ul", {}, ...(answer.notes || []).map((note) => make("li", {}, plain(note)))),
      button("Write it into my book", () => bring(state, false), { class: "main", id: "bring-write" }));
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.isOld) tellFaults(error);
    told.replaceChildren(make("p", {}, "Say above what each column and each word means, then look again:"),
      faultList(error.faults.map((fault) => ({ sentence: plain(fault.sentence) }))));
  }
}
