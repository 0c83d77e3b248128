// Files on their way into the folder: chosen, or dropped anywhere on the page.
import { seen } from "./desk_ask.js";
import { at, button } from "./desk_parts.js";
import { bringFile, known, tellFaults } from "./desk_state.js";

const WAYS = [
  ["route", "The route to be travelled"],
  ["water", "A layer of water sources"],
  ["tally", "What was found or recorded on the trip"],
  ["backdrop", "A map to draw below the route"],
];

let act = () => {};

// Lets somebody choose a file; `then` gets the file.
export function chooseFile(then) {
  act = then;
  at("desk-file").value = "";
  at("desk-file").click();
}

// Copies a file into the folder; `then` gets its name there.
export async function takeIn(file, as, then) {
  const version = seen.versions[file.name];
  if (version && !await askInstead(file.name)) return;
  try {
    await bringFile(file, as, version);
    if (then) await then(file.name);
  } catch (error) {
    tellFaults(error);
  }
}

function askInstead(file) {
  return asked("There is a file of this name", file, [[true, "Put the new one in its place"], [false, "Keep the one that is there"]]);
}

// One question with a few answers; Escape is the last of them.
function asked(head, file, answers) {
  const box = at("desk-what");
  at("desk-what-heading").textContent = head;
  at("desk-what-file").textContent = file;
  return new Promise((answer) => {
    let given = answers[answers.length - 1][0];
    const choose = (worth) => { given = worth; box.close(); };
    at("desk-what-choices").replaceChildren(...answers.map(([worth, words]) => button(words, () => choose(worth))));
    box.addEventListener("close", () => answer(given), { once: true });
    box.showModal();
  });
}

export function watchDrops(onFile) {
  at("desk-file").addEventListener("change", (event) => {
    const [file] = event.target.files;
    if (file) act(file);
  });
  let depth = 0;
  const hide = () => { depth = 0; at("desk-drop").hidden = true; };
  addEventListener("dragenter", (event) => {
    if (![...event.dataTransfer.types].includes("Files")) return;
    depth += 1;
    at("desk-drop").hidden = false;
  });
  addEventListener("dragleave", () => { depth -= 1; if (depth <= 0) hide(); });
  addEventListener("dragover", (event) => event.preventDefault());
  addEventListener("drop", (event) => {
    event.preventDefault();
    hide();
    const [file] = event.dataTransfer.files;
    if (file) sort(file, onFile);
  });
}

// The first file of an empty folder is the route; of any other somebody says what it is.
async function sort(file, onFile) {
  const as = known.folder.choice.route ? await asked("What is this file?", file.name, [...WAYS, [null, "Leave it"]]) : "route";
  if (as) onFile(file, as);
}
