// Files on their way into the folder: chosen, or dropped anywhere on the page.
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
  try {
    const answer = await bringFile(file, as);
    if (then) await then(answer.name || file.name);
  } catch (error) {
    tellFaults(error);
  }
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
function sort(file, onFile) {
  if (!known.folder.choice.route) return onFile(file, "route");
  const asked = at("desk-what");
  at("desk-what-file").textContent = file.name;
  const choose = (as) => { asked.close(); if (as) onFile(file, as); };
  at("desk-what-choices").replaceChildren(
    ...WAYS.map(([as, words]) => button(words, () => choose(as))), button("Leave it", () => choose(null)),
  );
  return asked.showModal();
}
