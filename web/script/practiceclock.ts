// The clock of an item. What is to be seen or chosen starts it when it is shown; what is done
// on a puzzle is started by whoever does it, as on a mat timer: pressed, and let go.

export interface Clock {
  // runs says whether it runs, isOwn whether the person starts it.
  runs(): boolean;
  isOwn(): boolean;
  // ready sets it for a card, standing.
  ready(card: HTMLElement): void;
  // shown starts it where the card's being seen does.
  shown(painted: number): void;
  // press and release are a finger or the space bar that goes down and comes up.
  press(now: number): void;
  release(now: number): void;
  // stand has it stand without a result.
  stand(): void;
  // stop has it stand, and is how long it ran.
  stop(now: number): number;
}

// Whole is what the person wants of a whole solve: a count while they inspect, and taps between.
export interface Whole {
  inspects(): boolean;
  splits(): boolean;
}

// parts are what a whole solve is split into, by what ends each of them but the last.
const parts = ["Tap when the slot is filled", "Tap when you know the pattern"];

// makeClock tells when it was stopped, with the times of the taps before.
export function makeClock(whole: Whole, stopped: (took: number, splits: number[]) => void): Clock {
  let card: HTMLElement | null = null;
  // since is when it started, null where it stands.
  let since: number | null = null;
  // armed says that it starts as the person lets go.
  let armed = false;
  let splits: number[] = [];
  let counting: number | undefined;

  const face = (): HTMLElement | null => card?.querySelector<HTMLElement>(".practice-picture") ?? null;
  const exercise = (): string => card?.dataset.exercise ?? "";
  const isOwn = (): boolean => exercise() === "execute" || exercise() === "whole";

  const label = (words: string): void => {
    const button = card?.querySelector(".practice-do");
    if (button) button.textContent = words;
  };

  const stand = (): void => {
    since = null;
    armed = false;
    clearInterval(counting);
    counting = undefined;
    face()?.removeAttribute("data-runs");
  };

  const run = (now: number): void => {
    since = now;
    splits = [];
    const picture = face();
    if (picture) picture.dataset.runs = "";
  };

  // next says what the press after this one does.
  const next = (): void => label((exercise() === "whole" && whole.splits() && parts[splits.length]) || "Press to stop");

  const inspect = (from: number): void => {
    const count = (): void => label(`${Math.floor((performance.now() - from) / 1000)} s inspected: press, and let go to start`);
    count();
    counting = setInterval(count, 1000);
  };

  const stop = (now: number): number => {
    const took = Math.max(1, now - (since ?? now));
    stand();
    if (isOwn()) label("Stopped");
    return took;
  };

  return {
    runs: () => since !== null,
    isOwn,
    ready(shown) {
      stand();
      card = shown;
      if (isOwn()) label(exercise() === "whole" && whole.inspects() ? "Press to inspect" : "Let go to start");
    },
    shown(painted) {
      if (!isOwn()) run(painted);
    },
    press(now) {
      if (since !== null) {
        if (exercise() === "whole" && whole.splits() && splits.length < parts.length) {
          splits.push(now - since);
          return next();
        }
        const took = stop(now);
        stopped(took, splits);
      } else if (isOwn()) {
        if (exercise() === "whole" && whole.inspects() && counting === undefined) return inspect(now);
        armed = true;
      }
    },
    release(now) {
      if (!armed) return;
      stand();
      run(now);
      next();
    },
    stand,
    stop,
  };
}
