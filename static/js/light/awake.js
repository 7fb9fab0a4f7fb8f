/** Keep the screen from going to sleep while this window is seen, where the browser can (secure addresses only). */
export function stayAwake() {
  if (!("wakeLock" in navigator)) return;
  const ask = async () => {
    if (document.hidden) return;
    try {
      await navigator.wakeLock.request("screen");
    } catch {
      // A battery saver may forbid it; the light works all the same.
    }
  };
  document.addEventListener("visibilitychange", ask);
  ask();
}
