/**
 * Send the latest of something, one request at a time, and say where it stands. What comes in while a request is on its
 * way waits, and only the last of it is sent: the server is never behind by more than one answer.
 *
 * @template T
 * @param {(content: T) => Promise<any>} send
 * @param {{waiting?: () => void, saved?: (answer: any) => void, refused?: (error: unknown) => void}} tell
 */
export function saver(send, tell) {
  /** @type {{content: T} | null} */
  let next = null;
  let busy = false;
  /** @type {(() => void)[]} */
  let idle = [];

  async function run() {
    busy = true;
    while (next !== null) {
      const { content } = next;
      next = null;
      try {
        const answer = await send(content);
        if (next === null) tell.saved?.(answer);
      } catch (error) {
        if (next === null) tell.refused?.(error);
      }
    }
    busy = false;
    for (const done of idle) done();
    idle = [];
  }

  return {
    /** @param {T} content */
    put(content) {
      next = { content };
      tell.waiting?.();
      if (!busy) run();
    },
    /** Resolves when nothing is on its way. */
    settled: () => (busy ? new Promise((done) => idle.push(() => done(undefined))) : Promise.resolve()),
  };
}
