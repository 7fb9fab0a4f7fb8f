import { Refused } from "../api.js";
import { toldIn } from "../lengths.js";
import { words } from "../words/words.js";

const token = () => document.querySelector('meta[name="token"]')?.getAttribute("content") ?? "";

/** Bring a file to the server and return what became of it. @param {File} file @returns {Promise<any>} */
export const bring = (file) =>
  ask("POST", `/api/drawings?${new URLSearchParams({ name: file.name })}`, file, "application/octet-stream");

/** Forget a file that became no thing. @param {number} drawing @returns {Promise<any>} */
export const forgetDrawing = (drawing) => ask("DELETE", `/api/drawings/${drawing}`);

async function ask(method, path, body, kind) {
  const headers = { Accept: "application/json", "X-Hidelight-Token": token(), ...(kind ? { "Content-Type": kind } : {}) };
  const answer = await fetch(path, { method, headers, body }).catch(() => {
    throw new Refused(words.connection.none, null, 0);
  });
  const content = await answer
    .text()
    .then((text) => JSON.parse(text, toldIn))
    .catch(() => null);
  if (answer.ok) return content;
  const error = content?.error ?? {};
  throw new Refused(error.sentence ?? words.connection.odd(answer.status), error.field ?? null, answer.status);
}
