import { byId } from "./dom.js";
import { lookButton } from "./look.js";
import { openProjectorWindow } from "./projector-window.js";
import { say } from "./say.js";
import { startState, watchState } from "./state.js";
import "./undo.js";
import { unitButton } from "./unit-button.js";
import { words } from "./words/words.js";

lookButton(byId("look"));
unitButton(byId("unit-swap"));
startState();

const lamp = byId("lamp-state");
const lampWords = lamp.querySelector("span");
lamp.addEventListener("click", () => openProjectorWindow() || say(words.window.blocked, "wrong"));

watchState((state) => {
  lamp.dataset.lit = !state.window.open ? "no" : state.window.fits ? "yes" : "wrong";
  lampWords.textContent = words.window.short(state.window);
  lamp.title = state.window.sentence ?? "";
});
