import { get, post, remove } from "../api.js";
import { byId, el } from "../dom.js";
import { say, sayRefused } from "../say.js";
import { words as W } from "../words/phones.js";

/** Phones are let in and dropped here. */

const EVERY_MS = 1000;
let told = null;

function dress() {
  byId("phones-title").textContent = W.title;
  byId("phones-words").textContent = W.words;
  byId("door-title").textContent = W.door;
  byId("door-mind").textContent = W.mind;
  byId("address-field").querySelector("label").textContent = W.address;
  byId("code-title").textContent = W.code;
  byId("code-words").textContent = W.codeWords;
  byId("code-light").textContent = W.inLight;
  byId("code-here").textContent = W.here;
  byId("code-end").textContent = W.end;
  byId("paired-title").textContent = W.paired;
  byId("paired-none").textContent = W.none;
}

/** @param {any} answer what the server says of phones, with the code in it when one was made just now */
function show(answer) {
  if (told?.code_seconds && !answer.code_seconds && answer.on) say(W.gone);
  told = answer;
  showDoor(answer);
  byId("code").hidden = byId("paired").hidden = !answer.on;
  if (answer.url) draw(answer);
  const good = answer.on && answer.code_seconds > 0 && byId("code-url").textContent !== "";
  byId("code-figure").hidden = byId("code-end").hidden = !good;
  byId("code-left").textContent = W.left(answer.code_seconds);
  showPaired(answer.phones);
}

function showDoor(answer) {
  byId("door-state").textContent = answer.on ? W.on(answer.address) : answer.addresses.length ? W.off : W.noAddress;
  byId("door-turn").textContent = answer.on ? W.turnOff : W.turnOn;
  byId("door-turn").disabled = !answer.on && answer.addresses.length === 0;
  byId("address-field").hidden = answer.on || answer.addresses.length < 2;
  if (byId("address").childElementCount !== answer.addresses.length)
    byId("address").replaceChildren(...answer.addresses.map((one) => el("option", { value: one }, one)));
}

function draw(answer) {
  const svg = byId("code-svg");
  svg.setAttribute("viewBox", `0 0 ${answer.side} ${answer.side}`);
  svg.setAttribute("aria-label", W.drawn(answer.url));
  svg.querySelector("path").setAttribute("d", answer.path);
  byId("code-url").textContent = answer.url;
}

function showPaired(phones) {
  byId("paired-none").hidden = phones.length > 0;
  const shown = phones.map((phone) => `${phone.id} ${phone.heard_seconds}`).join();
  if (byId("paired-list").dataset.shown === shown) return;
  byId("paired-list").dataset.shown = shown;
  byId("paired-list").replaceChildren(...phones.map(row));
}

const row = (phone) =>
  el(
    "li",
    {},
    el("span", {}, W.phone(phone.id, phone.address), el("span.soft.small", {}, W.heard(phone.heard_seconds))),
    el("button.button", { type: "button", "aria-label": W.dropNamed(phone.id), onclick: () => act(() => remove(`/api/phones/${phone.id}`)) }, W.drop),
  );

async function act(verb) {
  try {
    show(await verb());
  } catch (error) {
    sayRefused(error);
  }
}

const offer = (inLight) => () => act(() => post("/api/phones/code", { in_light: inLight }));

dress();
byId("door-turn").addEventListener("click", () =>
  act(() => post("/api/phones", told?.on ? { on: false } : { on: true, ...(byId("address").value ? { address: byId("address").value } : {}) })),
);
byId("code-light").addEventListener("click", offer(true));
byId("code-here").addEventListener("click", offer(false));
byId("code-end").addEventListener("click", () => act(() => remove("/api/phones/code")));
const look = () => act(() => get("/api/phones"));
look();
setInterval(() => !document.hidden && look(), EVERY_MS);
