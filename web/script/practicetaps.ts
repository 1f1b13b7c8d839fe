// Plain taps on a signal: how fast somebody is with nothing to recognise.

const taps = 10;

interface Taps {
  // start begins with the first of them; tap is a tap.
  start(): void;
  tap(now: number): void;
  isOpen(): boolean;
}

// makeTaps tells of each tap how long it took, and at the end that all are done.
export function makeTaps(tell: (words: string) => void, tapped: (took: number) => void, done: () => void): Taps {
  const panel = document.getElementById("practice-taps");
  const signal = document.getElementById("practice-signal");
  let left = 0;
  let wait: number | undefined;
  let lit: number | null = null;

  const light = (): void => {
    if (!signal) return;
    lit = null;
    signal.removeAttribute("data-runs");
    signal.textContent = "Wait";
    signal.classList.remove("is-lit");
    tell(`${taps - left + 1} of ${taps}`);
    clearTimeout(wait);
    // So long that nobody can count it out.
    wait = setTimeout(
      () => {
        signal.textContent = "Now";
        signal.classList.add("is-lit");
        requestAnimationFrame((painted) => {
          lit = painted;
          signal.dataset.runs = "";
        });
      },
      1000 + 2000 * Math.random(),
    );
  };

  const isOpen = (): boolean => panel?.hidden === false;

  const tap = (now: number): void => {
    if (!panel || !isOpen()) return;
    if (lit === null) {
      light();
      tell("Too early: wait for it");
      return;
    }
    tapped(now - lit);
    left--;
    if (left > 0) return light();
    clearTimeout(wait);
    panel.hidden = true;
    tell("Ten taps: they are subtracted from what you recognise");
    done();
  };

  // As the finger comes down: a click comes when it is lifted.
  signal?.addEventListener("pointerdown", (event) => tap(event.timeStamp));
  return {
    start() {
      if (panel) panel.hidden = false;
      left = taps;
      light();
      signal?.focus();
    },
    tap,
    isOpen,
  };
}
