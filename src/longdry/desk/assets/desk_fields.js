// One field of a form for each key: label, unit, what it is for, what holds without it, its fault.
import { make, plainWord } from "./desk_parts.js";

const KINDS = {
  "whole number": "number", "list of texts": "texts", "true or false": "yes_no",
  "date and time": "moment", date: "day", "word or text": "any_word",
};

const kindOf = (key) => KINDS[key.kind] || key.kind;

// A field with `read` and `write`; `act` is called when somebody has changed it.
export function field(key, id, value, act, hasHelp = true) {
  const control = CONTROLS[kindOf(key)] ? CONTROLS[kindOf(key)](key, id, act) : textControl(key, id, act);
  control.write(value);
  const fault = make("p", { class: "fault", id: id + "-fault", role: "alert" });
  const notes = [];
  if (key.help && hasHelp) notes.push(make("span", {}, sentenceOf(key.help) + " "));
  if (hintOf(key)) notes.push(make("span", { class: "without" }, hintOf(key)));
  const hint = make("p", { class: "hint", id: id + "-hint" }, ...notes);
  const isTold = (key.label || "").includes(key.unit) || (key.unit === "L" && /litres/.test(key.label));
  const unit = key.unit && !isTold ? [" ", make("span", { class: "unit" }, key.unit)] : [];
  const label = make("label", { for: id }, capital(key.label || key.name), ...unit);
  for (const each of control.inputs) each.setAttribute("aria-describedby", `${id}-fault ${id}-hint`);
  const box = make("div", { class: "field kind-" + kindOf(key), "data-key": key.name }, label, control.box, fault, hint);
  return { ...control, key, box, first: control.inputs[0], tell: (words) => tell(control.inputs, fault, words) };
}

function tell(inputs, fault, words) {
  fault.textContent = words || "";
  for (const each of inputs) {
    if (words) each.setAttribute("aria-invalid", "true"); else each.removeAttribute("aria-invalid");
  }
}

const sentenceOf = (words) => capital(words) + (/[.!?]$/.test(words) ? "" : ".");

export const capital = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);

function hintOf(key) {
  if (key.required) return "Must be given.";
  if (key.default !== null && key.default !== undefined && key.default !== "") return `Left empty: ${worth(key.default, key)}.`;
  return key.if_absent ? `Left empty: ${key.if_absent}.` : "";
}

function worth(value, key) {
  const { unit, words } = key;
  if (value === true) return "yes";
  if (value === false) return "no";
  if (Array.isArray(value)) return value.join(", ");
  if (typeof value === "object") return Object.entries(value).map(([way, each]) => `${plainWord(way)} ${worth(each, key)}`).join("; ");
  return typeof value === "number" && unit ? `${value} ${value === 1 ? unit.replace(/s$/, "") : unit}` : words && words.includes(value) ? plainWord(value) : String(value);
}

function textControl(key, id, act) {
  const input = make("input", { type: "text", id, autocomplete: "off", change: act });
  if (kindOf(key) === "number") input.setAttribute("inputmode", "decimal");
  if (key.unit === "" && kindOf(key) === "number") input.classList.add("plain-number");
  return {
    box: input, inputs: [input], read: () => input.value.trim() || null,
    write: (value) => { input.value = Array.isArray(value) ? value.join(", ") : value === null || value === undefined ? "" : String(value); },
  };
}

// Months in a row as their first and last.
function monthsControl(key, id, act) {
  const control = textControl(key, id, act);
  const isRow = (list) => list.every((month, place) => !place || month === list[place - 1] + 1);
  const write = (value) => control.write(Array.isArray(value) && value.length > 1 && isRow(value) ? `${value[0]}-${value[value.length - 1]}` : value);
  return { ...control, write };
}

function textsControl(key, id, act) {
  const control = textControl(key, id, act);
  const split = (text) => text.split(",").map((each) => each.trim()).filter(Boolean);
  return { ...control, read: () => (control.read() === null ? null : split(control.read())) };
}

function wordControl(key, id, act) {
  const list = make("select", { id, change: act }, make("option", { value: "" }, "not stated"),
    ...(key.words || []).map((word) => make("option", { value: word }, plainWord(word))));
  return {
    box: list, inputs: [list], read: () => list.value || null,
    write: (value) => {
      const worth = value === null || value === undefined ? "" : String(value);
      if (worth && ![...list.options].some((one) => one.value === worth)) list.append(make("option", { value: worth }, worth));
      list.value = worth;
    },
  };
}

// A word of a list, or any other.
function anyWordControl(key, id, act) {
  const control = textControl(key, id, act);
  const list = make("datalist", { id: id + "-words" }, ...(key.words || []).map((word) => make("option", { value: word })));
  control.inputs[0].setAttribute("list", id + "-words");
  return { ...control, box: make("span", {}, control.box, list) };
}

function yesNoControl(key, id, act) {
  const control = wordControl({ words: ["yes", "no"] }, id, act);
  return {
    ...control, read: () => ({ yes: true, no: false }[control.read()] ?? null),
    write: (value) => control.write(value === true ? "yes" : value === false ? "no" : null),
  };
}

function dayControl(key, id, act) {
  const input = whenItStands(make("input", { type: "date", id }), act);
  return {
    box: input, inputs: [input], read: () => input.value || null,
    write: (value) => { input.value = value ? String(value).slice(0, 10) : ""; },
  };
}

// What is typed by keys is written when it stands: else a year would be written at each of its digits.
// A date that is not whole gives way to the one that was there.
function whenItStands(input, act) {
  let [isTyped, written] = [false, ""];
  input.addEventListener("focus", () => { [isTyped, written] = [false, input.value]; });
  input.addEventListener("pointerdown", () => { isTyped = false; });
  const stands = () => {
    if (input.validity.badInput) input.value = written;
    if (input.value === written) return;
    written = input.value;
    act();
  };
  input.addEventListener("keydown", ({ key }) => { if (key === "Enter") stands(); else if (key !== "Tab") isTyped = true; });
  input.addEventListener("change", () => { if (!isTyped) stands(); });
  input.addEventListener("blur", () => { if (isTyped) stands(); });
  return input;
}

// A date alone is enough: the hour is then the trip's start hour.
function momentControl(key, id, act) {
  const day = whenItStands(make("input", { type: "date", id }), act);
  const hour = whenItStands(make("input", { type: "time", id: id + "-hour", "aria-label": "Hour of " + (key.label || key.name) }), act);
  return {
    box: make("span", { class: "moment" }, day, hour), inputs: [day, hour],
    read: () => (day.value ? day.value + (hour.value ? "T" + hour.value : "") : null),
    write: (value) => {
      const [date, time] = String(value || "").split(/[T ]/);
      day.value = date;
      hour.value = (time || "").slice(0, 5);
    },
  };
}

const CONTROLS = { months: monthsControl, any_word: anyWordControl, texts: textsControl, word: wordControl, yes_no: yesNoControl, day: dayControl, moment: momentControl };
