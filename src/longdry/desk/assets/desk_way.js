// The first question: which route, which track of it, which way round, and where it is broken.
import { chooseFile, takeIn } from "./desk_files.js";
import { showPlace } from "./desk_map.js";
import { at, button, choice, counted, fold, make, name, oneOf, quiet, refill, ticked } from "./desk_parts.js";
import { change, known, onNews, tellFaults, undoLine } from "./desk_state.js";

const CHOICE_FILE = "plan.txt";
const GAPS = ["gap or jump", "gaps or jumps"];

// What is not named stays; a function gets the choice as the change before has left it.
export function choose(part) {
  return change("/api/choice", typeof part === "function" ? () => part(known.folder.choice) : part, CHOICE_FILE).catch(tellFaults);
}

export const chooseToo = (layer) => choose(({ water }) => ({ water: [...new Set([...water, layer])] }));

export const filesOf = (...kinds) => known.folder.files.filter((file) => kinds.includes(file.what)).map((file) => file.name);

export function askWay() {
  onNews("folder", show);
  onNews("plan", show);
  at("desk-start-choose").addEventListener("click", () => chooseFile((file) => takeIn(file, "route", begin)));
}

// The one route of a folder is taken by itself; of several, the one that was brought.
function begin(route) {
  return known.folder.choice.route ? undefined : choose({ route, tracks: [] });
}

function show() {
  const { folder, plan } = known;
  if (!folder.choice.route) return showSamples(folder);
  const length = plan && plan.length_km ? `, ${plan.length_km.toFixed(0)} km` : "";
  const broken = plan && plan.breaks && plan.breaks.length ? `, ${counted(plan.breaks.length, ...GAPS)}` : "";
  at("ask-way-told").replaceChildren(name(folder.choice.route), length + (folder.choice.reverse ? ", from end to start" : "") + broken);
  return refill(at("ask-way-in"), notes(folder), routeFile(folder), tracks(folder), direction(folder), breaks(plan), backdrop(folder), undoLine(CHOICE_FILE));
}

const notes = (folder) => (folder.notes || []).map((words) => quiet(words));

function routeFile({ choice: now }) {
  const files = filesOf("route");
  if (!files.includes(now.route)) files.unshift(now.route);
  const list = choice("way-file", "Route", files.map((each) => [each, each]), now.route, (route) => choose({ route, tracks: [] }));
  list.append(" ", button("Another file", () => chooseFile((file) => takeIn(file, "route", (route) => choose({ route, tracks: [] })))));
  return list;
}

// Several tracks are travelled in the order in which they are ticked.
function tracks({ tracks: all, choice: now }) {
  if (!all || all.length < 2) return "";
  const taken = now.tracks || [];
  const boxes = all.map((each, place) => {
    const order = taken.indexOf(each);
    const words = [name(each), order >= 0 && taken.length > 1 ? ` (${order + 1}.)` : ""];
    return ticked("way-track-" + place, make("span", {}, ...words), order >= 0,
      (isOn) => choose(({ tracks: now }) => ({ tracks: [...now.filter((one) => one !== each), ...(isOn ? [each] : [])] })));
  });
  return make("fieldset", { class: "stack" }, make("legend", {}, "Its tracks: tick them in the order of travel. Without a tick they are taken as the file gives them."), ...boxes);
}

function direction({ choice: now }) {
  return make("fieldset", {}, make("legend", {}, "Direction"),
    oneOf("way-direction", "way-forth", "as the line was drawn", !now.reverse, () => choose({ reverse: false })),
    oneOf("way-direction", "way-back", "from its end to its start", now.reverse, () => choose({ reverse: true })));
}

function breaks(plan) {
  const found = (plan && plan.breaks) || [];
  if (!found.length) return plan && plan.ready.plan ? quiet("The line has no gap and no jump.") : "";
  const items = found.map((each) => make("li", {}, each.words + " ", button("Show it", () => showPlace(each.from), { class: "small" })));
  return make("div", {}, make("p", {}, make("b", {}, counted(found.length, ...GAPS) + " in the line: look at each")), make("ul", {}, ...items));
}

function backdrop({ choice: now }) {
  const files = filesOf("backdrop");
  const [current] = [now.backdrop].flat().filter(Boolean);
  if (current && !files.includes(current)) files.push(current);
  const list = choice("way-backdrop", "Drawn below the route", [["", "nothing"], ...files.map((each) => [each, each])], current, (file) => choose({ backdrop: file ? [file] : [] }));
  return fold("way-below", "A map of your own below the route", list,
    button("Bring a map: MBTiles, PMTiles, or lines and names", () => chooseFile((file) => takeIn(file, "backdrop", (brought) => choose({ backdrop: [brought] })))));
}

// What there is to begin with: routes of the folder, where it has several, or the invented samples.
function showSamples(folder) {
  const line = (words, act, more) => make("li", {}, button(words, act), more ? " " + more : "");
  const routes = filesOf("route").map((route) => line(route, () => choose({ route, tracks: [] })));
  const samples = (folder.samples || []).map(({ name: sample, words }) => {
    const [head, ...rest] = words.split("; ");
    return line(head, () => takeSample(sample), rest.join("; "));
  });
  const list = (items) => make("ul", { class: "samples" }, ...items);
  refill(at("desk-routes"), ...(routes.length ? [make("h3", {}, "Or take a route of this folder"), list(routes)] : []));
  refill(at("desk-samples"), ...(samples.length ? [make("h3", {}, "Or look at a sample"),
    make("p", {}, "Its country, its water and its people are invented. It is copied into this folder."), list(samples)] : []));
}

function takeSample(sample) {
  return change("/api/sample", { name: sample }, null).catch(tellFaults);
}
