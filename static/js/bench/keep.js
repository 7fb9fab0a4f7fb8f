import { post, put } from "../api.js";
import { el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { say, sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { typed } from "./document.js";

const W = words.keep;

/**
 * The bench itself: its name and table, and its calibration as a file, out and in.
 * @param {HTMLElement} place @param {any} room what the page lets a section do: id, bench(), changed(answer)
 */
export function keepSection(place, room) {
  const own = ownForm(room);
  const out = el("a.button", { href: `/api/benches/${room.id}/file.json`, download: "" }, W.exportGo);
  const raw = el("p.soft", {}, W.exportRaw);
  place.append(
    own.element,
    el("div.card", {}, el("h3", {}, W.exportTitle), el("p", {}, W.exportWords), raw, el("div.row", {}, out)),
    importCard(),
  );
  return {
    update() {
      own.update();
      out.hidden = !room.bench().calibrated;
      raw.hidden = room.bench().calibrated;
    },
  };
}

const field = (name, label, attributes = {}) =>
  el(
    "div.field",
    {},
    el("label", { for: `keep-${name}` }, label),
    el("input", { id: `keep-${name}`, name, autocomplete: "off", ...attributes }),
    el("p.wrong-here", { "data-for": name, role: "alert" }),
  );

function ownForm(room) {
  const picture = el("p.soft");
  const size = { inputmode: "decimal", placeholder: W.unknown };
  const form = el(
    "form.card",
    { onsubmit: keep, novalidate: true },
    el("h3", {}, W.bench),
    field("name", W.name),
    el("div.row.two", {}, field("table_width", W.width, size), field("table_depth", W.depth, size)),
    picture,
    el("div.row", {}, el("button.button", { type: "submit" }, W.save)),
  );
  const input = (name) => form.querySelector(`[name="${name}"]`);

  async function keep(event) {
    event.preventDefault();
    const length = (name) => (input(name).value.trim() === "" ? null : typed(input(name).value));
    const body = { name: input("name").value, table_width: length("table_width"), table_depth: length("table_depth") };
    try {
      const answer = await put(`/api/benches/${room.id}`, body);
      showFieldErrors(form, null);
      say(W.saved);
      room.changed(answer);
    } catch (error) {
      if (!showFieldErrors(form, error)) sayRefused(error);
    }
  }

  return {
    element: form,
    update() {
      const { name, table, picture: size } = room.bench();
      picture.textContent = W.picture(size);
      if (form.contains(document.activeElement)) return;
      const values = { name, table_width: table?.width ?? "", table_depth: table?.depth ?? "" };
      for (const [key, value] of Object.entries(values)) input(key).value = String(value);
    },
  };
}

/** A bench file makes a new bench; the page goes there. */
export function importCard() {
  const file = el("input", {
    type: "file",
    id: "import-file",
    name: "file",
    accept: ".json,application/json",
    onchange: suggest,
  });
  const form = el(
    "form.card.import",
    { onsubmit: bring, novalidate: true },
    el("h3", {}, W.importTitle),
    el("p", {}, W.importWords),
    el(
      "div.field",
      {},
      el("label", { for: "import-file" }, W.file),
      file,
      el("p.wrong-here", { "data-for": "file", role: "alert" }),
    ),
    el(
      "div.field",
      {},
      el("label", { for: "import-name" }, W.importName),
      el("input", { id: "import-name", name: "name", autocomplete: "off" }),
      el("p.wrong-here", { "data-for": "name", role: "alert" }),
    ),
    el("div.row", {}, el("button.button", { type: "submit" }, W.importGo)),
  );
  const name = form.querySelector("[name=name]");
  const wrong = form.querySelector('[data-for="file"]');

  function suggest() {
    if (name.value === "" && file.files.length > 0) name.value = file.files[0].name.replace(/\.json$/i, "");
  }

  async function bring(event) {
    event.preventDefault();
    if (file.files.length === 0) return (wrong.textContent = W.noFile);
    let content = null;
    try {
      content = JSON.parse(await file.files[0].text());
    } catch {
      return (wrong.textContent = W.notJson);
    }
    try {
      const made = await post("/api/benches/import", { name: name.value, file: content });
      location.href = `/bench/${made.id}`;
    } catch (error) {
      showFieldErrors(form, error) || sayRefused(error);
    }
  }
  return form;
}
