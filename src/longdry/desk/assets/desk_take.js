// What is taken along: the sheet on paper, the page, the GPX, and everything else that a plan writes.
/* global printAlone */
import { at, button, make, quiet } from "./desk_parts.js";
import { change, known, onNews, tellFaults } from "./desk_state.js";

const OTHERS = ["json", "geojson", "csv-stretches", "csv-stops", "csv-fills", "csv-days"];

export function askTake() {
  const save = (kinds) => () => change("/api/save", { kinds }, null).catch(tellFaults);
  const needsWhole = { class: "whole" };
  at("desk-take-in").replaceChildren(
    make("p", { class: "tools-row" },
      button("Print the sheet to carry", print, { id: "take-sheet", ...needsWhole }),
      button("Save the page", save(["page"]), { id: "take-page", ...needsWhole }),
      button("Save the GPX", save(["gpx"]), { id: "take-gpx", ...needsWhole }),
      button("Save everything else", save(OTHERS), { id: "take-rest", ...needsWhole })),
    quiet("Saved beside your files. The page opens in any browser, without a network: put it on every phone."),
  );
  onNews("plan", () => {
    const isWhole = Boolean(known.plan && known.plan.ready.mends);
    for (const each of document.querySelectorAll(".take .whole")) each.disabled = !isWhole;
  });
}

function print() {
  at("sheet").open = true;
  printAlone("sheet");
}
