// Small pieces of the page. Every word is set as text, never as markup.

const BELOW_TOLD_PX = 56;

export const at = (id) => document.getElementById(id);

// An element with attributes, listeners (functions) and children.
export function make(name, given = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") made.addEventListener(key, value);
    else if (key === "value") made.value = value;
    else made.setAttribute(key, value === true ? "" : String(value));
  }
  made.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== ""));
  return made;
}

// A double click acts once: what it would act on the second time may be another thing already.
export const once = (act) => (event) => { if (event.detail < 2) act(event); };

export const button = (words, act, given = {}) => make("button", { type: "button", click: once(act), ...given }, words);

// A name from a file, kept apart from the direction of the words around it.
export const name = (text) => make("bdi", { class: "name" }, text || "(no name)");

export const quiet = (...words) => make("p", { class: "q" }, ...words);

export function fold(id, head, ...inside) {
  return make("details", { id, class: "less" }, make("summary", {}, head), make("div", {}, ...inside));
}

// Words of the files as a form says them; every other is said as it is written, without hyphens.
const PLAIN = {
  foot: "on foot", vehicle: "by vehicle", bicycle: "by bicycle", any: "any water",
  "person-day": "people and days", "party-day": "days, for all together", "person-night": "people and nights",
  "party-night": "nights, for all together", "party-100km": "each 100 km, for all together", always: "nothing: always carried, never to be used up",
  on: "on to other water", "on-or-back": "on to other water, or back", none: "none is asked for", uv: "UV lamp",
};

export const plainWord = (word) => PLAIN[word] || String(word).replace(/(?<=\w)[-_](?=\w)/g, " ");

export function choice(id, label, options, value, act) {
  const list = make("select", { id, change: () => act(list.value) },
    ...options.map(([worth, words]) => make("option", { value: worth }, words)));
  list.value = value ?? "";
  return make("p", { class: "field" }, make("label", { for: id }, label), list);
}

export function ticked(id, words, isOn, act, given = {}) {
  const box = make("input", { type: "checkbox", id, change: () => act(box.checked), ...given });
  box.checked = isOn;
  return make("label", { class: "tick", for: id }, box, words);
}

export function oneOf(group, id, words, isOn, act) {
  const dot = make("input", { type: "radio", name: group, id, change: () => dot.checked && act() });
  dot.checked = isOn;
  return make("label", { class: "tick", for: id }, dot, words);
}

// Fills a part anew; what had the focus keeps it, with what is typed there; opened folds stay open.
export function refill(holder, ...children) {
  const active = holder.contains(document.activeElement) ? document.activeElement : null;
  const [id, typed] = [active && active.id, active && active.value];
  const open = [...holder.querySelectorAll("details[id][open]")].map((fold) => fold.id);
  holder.replaceChildren(...children.flat().filter((child) => child !== null && child !== ""));
  for (const each of open) if (at(each)) at(each).open = true;
  const again = id && at(id);
  if (!again) return;
  if (typed !== undefined && again.type === "text") again.value = typed;
  again.focus({ preventScroll: true });
}

export const counted = (count, one, many) => `${count.toLocaleString("en")} ${count === 1 ? one : many || one + "s"}`;

export function faultList(faults) {
  return make("ul", { class: "faults" }, ...faults.map((fault) => make("li", {}, fault.sentence)));
}

// Opens the fold of a question; brings a part of it into sight without moving the map away.
export function showAsk(id, part = at(id)) {
  at(id).open = true;
  const room = part.closest(".questions");
  if (getComputedStyle(room).overflowY !== "auto") part.scrollIntoView({ block: "start" });
  else room.scrollTop += part.getBoundingClientRect().top - room.getBoundingClientRect().top - BELOW_TOLD_PX;
}

export const degrees = (value) => Number(value).toFixed(5);

// A place as people write it.
export function placeWords(lat, lon) {
  const half = (value, plus, minus) => `${Math.abs(value).toFixed(4)}° ${value < 0 ? minus : plus}`;
  return `${half(Number(lat), "N", "S")} ${half(Number(lon), "E", "W")}`;
}
