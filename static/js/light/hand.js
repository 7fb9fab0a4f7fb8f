const STILL_MS = 2500;

/** Show the cursor and its one button while a hand moves the mouse; otherwise nothing but light. */
export function followHand() {
  let timer = 0;
  const still = () => (document.body.dataset.hand = "still");
  const moved = () => {
    document.body.dataset.hand = "moving";
    window.clearTimeout(timer);
    timer = window.setTimeout(still, STILL_MS);
  };
  window.addEventListener("pointermove", moved);
  window.addEventListener("pointerdown", moved);
  still();
}
