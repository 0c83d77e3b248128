// Asks the server of this computer, and keeps which version of each file this page has seen.

export const seen = { versions: {}, undo: {}, busy: 0, changes: 0 };

// What the server refused, in its own sentences.
export class Refused extends Error {
  constructor(status, faults) {
    super(faults.map((fault) => fault.sentence).join(" "));
    this.status = status;
    this.faults = faults;
  }

  get isOld() { return this.status === 409 && !this.faults.some((fault) => fault.where === "anyway"); }
}

export class Gone extends Error {}

export const get = (path, signal) => answerOf(path, { signal });

export function post(path, body) {
  return answerOf(path, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
  });
}

export function put(path, file) {
  return answerOf(path, { method: "PUT", headers: { "Content-Type": "application/octet-stream" }, body: file });
}

export function note(answer) {
  if (answer.versions) seen.versions = answer.versions;
  if (answer.can_undo) seen.undo = answer.can_undo;
}

async function answerOf(path, given) {
  let response;
  try {
    response = await fetch(path, { credentials: "same-origin", cache: "no-store", ...given });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Gone();
  }
  const body = await response.json().catch(() => ({}));
  if (response.ok) return body;
  const faults = body.faults || [];
  for (const fault of faults) fault.sentence ||= [fault.where, fault.what, fault.mend].filter(Boolean).join(": ");
  if (!faults.length) faults.push({ where: "", sentence: `The desk answered ${response.status} and no more.` });
  throw new Refused(response.status, faults);
}
