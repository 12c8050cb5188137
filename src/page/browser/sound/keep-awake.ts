/**
 * Keeps the screen on until the returned function is called, where the browser can (over https or on this
 * very machine, as of now): a tablet that goes to sleep falls silent.
 */
export function keepAwake(): () => void {
  let over = false;
  let lock: WakeLockSentinel | null = null;
  const ask = async (): Promise<void> => {
    if (!('wakeLock' in navigator) || document.visibilityState !== 'visible') return;
    try {
      const got = await navigator.wakeLock.request('screen');
      if (over) await got.release();
      else lock = got;
    } catch {
      // A browser may refuse, with a low battery for one. The panel says to keep the screen on.
    }
  };
  const seen = (): void => void ask();
  document.addEventListener('visibilitychange', seen);
  seen();
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', seen);
    void lock?.release();
  };
}
