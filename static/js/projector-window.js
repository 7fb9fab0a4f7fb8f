/** Open the projector window, or bring it to the front: its name keeps it the only one of this browser. */
export function openProjectorWindow() {
  const opened = window.open("/light", "hidelight-light", "popup,width=960,height=540");
  opened?.focus();
  return opened !== null;
}
