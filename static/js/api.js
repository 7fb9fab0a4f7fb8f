import { toldIn } from "./lengths.js";
import { words } from "./words/words.js";

/** What the server will not take, in its own sentence; field names the input it is about. */
export class Refused extends Error {
  /** @param {string} sentence @param {string | null} field @param {number} status 0 when there was no answer at all */
  constructor(sentence, field, status) {
    super(sentence);
    this.sentence = sentence;
    this.field = field;
    this.status = status;
  }
}

const token = () => document.querySelector('meta[name="token"]');

/** @param {string} path @returns {Promise<any>} */
export const get = (path) => ask("GET", path);
/** @param {string} path @param {object} body @returns {Promise<any>} */
export const post = (path, body = {}) => ask("POST", path, body);
/** @param {string} path @param {object} body @returns {Promise<any>} */
export const put = (path, body) => ask("PUT", path, body);
/** Delete what is there; it goes to the bin. @param {string} path @returns {Promise<any>} */
export const remove = (path) => ask("DELETE", path);

async function ask(method, path, body, again = true) {
  const answer = await send(method, path, body);
  if (answer.status === 403 && method !== "GET" && again && (await freshToken())) return ask(method, path, body, false);
  const content = await readJson(answer);
  if (answer.ok) return content;
  const error = content?.error ?? {};
  throw new Refused(error.sentence ?? words.connection.odd(answer.status), error.field ?? null, answer.status);
}

async function send(method, path, body) {
  const headers = { Accept: "application/json" };
  if (method !== "GET") {
    headers["Content-Type"] = "application/json";
    headers["X-Hidelight-Token"] = token()?.getAttribute("content") ?? "";
  }
  try {
    return await fetch(path, { method, headers, body: body === undefined ? undefined : JSON.stringify(body) });
  } catch {
    throw new Refused(words.connection.none, null, 0);
  }
}

async function readJson(answer) {
  try {
    return JSON.parse(await answer.text(), toldIn);
  } catch {
    return null;
  }
}

/** A restarted server hands out a new token; take it over without reloading, so that nothing typed is lost. */
async function freshToken() {
  try {
    const page = await (await fetch(location.pathname)).text();
    const found = new DOMParser().parseFromString(page, "text/html").querySelector('meta[name="token"]');
    const fresh = found?.getAttribute("content");
    if (!fresh || fresh === token()?.getAttribute("content")) return false;
    token()?.setAttribute("content", fresh);
    return true;
  } catch {
    return false;
  }
}
