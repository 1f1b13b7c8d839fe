// Practice against the clock: an item is shown, the clock stops when one knows it, then one
// says which. Each result is written down at once, and sent when there is a network.

import { makeClock } from "./practiceclock";
import { makeTaps } from "./practicetaps";
import { type Result, seconds, summarise } from "./practicesummary";
import { save } from "./queue";

const minute = 60 * 1000;
// breakAfter is after how long a break is spoken of, timed how long a session by the clock is.
const breakAfter = 10 * minute;
const timed = 5 * minute;

function byId<T extends HTMLElement>(id: string): T | null {
  return document.getElementById(id) as T | null;
}

function newId(): string {
  const bits = crypto.getRandomValues(new Uint8Array(16));
  return btoa(String.fromCharCode(...bits))
    .replace(/\+/g, "-")
    .replace(/\//g, "_")
    .replace(/=/g, "");
}

function written(took: number): string {
  return (Math.max(1, Math.round(took)) / 1000).toFixed(3);
}

// keep writes a result down; it answers its id.
function keep(exercise: string, item: string, took: number, right: boolean, more: [string, string][] = []): string {
  const id = newId();
  const fields: [string, string][] = [
    ["id", id],
    ["exercise", exercise],
    ["item", item],
    ["at", new Date().toISOString()],
    ["seconds", written(took)],
    ["right", String(right)],
    ...more,
  ];
  const drill = document.getElementById("answer")?.dataset.drill;
  if (drill && exercise !== "react") fields.push(["drill", drill]);
  // Each is about itself: none takes another's place.
  void save("/practice/results", fields, id);
  return id;
}

export function practise(): void {
  const start = byId("practice-start");
  const status = byId("practice-status");
  if (!start || !status) return;
  const all = [...document.querySelectorAll<HTMLElement>(".practice-item")];
  // A page that was kept is met again: not in the same order, but where somebody listed it.
  const isListed = new URLSearchParams(location.search).has("items");
  if (document.documentElement.dataset.loaded !== undefined && !isListed) shuffle(all);
  const bar = byId("practice-bar");
  const pause = byId<HTMLButtonElement>("practice-pause");
  const end = byId<HTMLButtonElement>("practice-end");
  const withdraw = byId<HTMLButtonElement>("practice-withdraw");
  const restore = byId<HTMLButtonElement>("practice-restore");
  const summary = byId("practice-summary");
  const patterns = byId("practice-patterns");
  // length is "5min" or "open", "" for a number of items; the misses are always all of them.
  const length = byId("answer")?.dataset.length ?? "";
  let open = length;

  let items: HTMLElement[] = [];
  let at = 0;
  let results: Result[] = [];
  let withdrawn: Result[] = [];
  let took = 0;
  let splits: number[] = [];
  let paused = false;
  // practised is for how long in all, session since when in one go, and before how long it was
  // when the session began.
  let practised = 0;
  let session: number | null = null;
  let before = 0;

  const within = <T extends Element>(selector: string): T | null => items[at]?.querySelector<T>(selector) ?? null;

  const tell = (words: string): void => void (status.textContent = words);

  const isChosen = (name: string): boolean => byId<HTMLInputElement>(name)?.checked ?? false;

  const clock = makeClock({ inspects: () => isChosen("practice-inspect"), splits: () => isChosen("practice-splits") }, (time, taps) => {
    took = time;
    splits = taps;
    ask();
  });

  const taps = makeTaps(
    tell,
    (time) => void keep("react", "signal", time, true),
    () => {
      start.hidden = false;
      byId("practice-go")?.focus();
    },
  );

  const progress = (): string => {
    if (open === "5min") {
      const left = Math.max(0, Math.ceil((timed - (practised - before)) / 1000));
      return `${at + 1}, ${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")} left`;
    }
    return open ? `Number ${at + 1}` : `${at + 1} of ${items.length}`;
  };

  const begin = (chosen: HTMLElement[], until: string): void => {
    items = chosen;
    open = until;
    at = 0;
    results = [];
    withdrawn = [];
    before = practised;
    hide(start, summary);
    // What is chosen is out of the way until all is done.
    for (const choices of document.querySelectorAll<HTMLElement>(".practice-head nav, .practice-what")) choices.hidden = true;
    for (const part of [bar, pause, end]) if (part) part.hidden = false;
    hide(withdraw, restore);
    show();
  };

  // isAsked says whether the clock was stopped and the answer is awaited, or given.
  const isAsked = (): boolean => within<HTMLElement>(".practice-after")?.hidden === false || items[at]?.dataset.asked !== undefined;

  // chooses says whether the answers are there while the clock runs: to give one stops it.
  const chooses = (): boolean => ["choose", "slots"].includes(items[at]?.dataset.exercise ?? "");

  // show shows the item, and starts the clock once it is seen.
  const show = (): void => {
    for (const card of all) card.hidden = card !== items[at];
    const card = items[at];
    const picture = within<HTMLElement>(".practice-picture");
    const answers = within<HTMLElement>(".practice-answers");
    const after = within<HTMLElement>(".practice-after");
    const said = within<HTMLElement>(".practice-said");
    if (!card || !picture || !answers || !after || !said) return;
    delete card.dataset.asked;
    for (const answer of answers.querySelectorAll<HTMLButtonElement>("button")) {
      answer.disabled = false;
      answer.classList.remove("is-right", "is-wrong");
    }
    hide(after, patterns);
    answers.hidden = !chooses();
    picture.hidden = false;
    said.textContent = "";
    paused = false;
    if (pause) pause.textContent = "Pause";
    tell(progress());
    session ??= performance.now();
    clock.ready(card);
    requestAnimationFrame((painted) => {
      if (!paused && !picture.hidden && !isAsked() && card === items[at]) clock.shown(painted);
    });
    picture.focus({ preventScroll: true });
  };

  // ask asks for the answer, once the clock stands.
  const ask = (): void => {
    const answers = within<HTMLElement>(".practice-answers");
    const card = items[at];
    if (!answers || !card) return;
    card.dataset.asked = "";
    answers.hidden = false;
    answers.querySelector<HTMLElement>("button")?.focus({ preventScroll: true });
    answers.scrollIntoView({ block: "nearest" });
    const asks: Record<string, string> = { execute: "how did it go?", whole: "what did you get?" };
    tell(`${progress()}: ${asks[card.dataset.exercise ?? ""] ?? "which is it?"}`);
  };

  const press = (now: number): void => {
    if (!paused && !chooses() && !isAsked()) clock.press(now);
  };

  const answer = (chosen: HTMLButtonElement, now: number): void => {
    const card = items[at];
    const answers = within<HTMLElement>(".practice-answers");
    const after = within<HTMLElement>(".practice-after");
    const said = within<HTMLElement>(".practice-said");
    if (!card || !answers || answers.hidden || chosen.disabled || !after || !said || paused) return;
    if (chosen.hasAttribute("data-more")) {
      if (patterns) {
        card.append(patterns);
        patterns.hidden = false;
        patterns.querySelector<HTMLElement>("button")?.focus();
      }
      return;
    }
    if (chooses()) {
      if (!clock.runs()) return;
      took = clock.stop(now);
      splits = [];
    }
    const right = chosen.hasAttribute("data-right");
    for (const other of answers.querySelectorAll<HTMLButtonElement>("button")) {
      other.disabled = true;
      other.classList.toggle("is-right", other.hasAttribute("data-right") && card.dataset.exercise !== "whole");
    }
    chosen.classList.toggle("is-wrong", !right);
    hide(patterns);
    card.dataset.asked = "";
    const exercise = card.dataset.exercise ?? "";
    const more: [string, string][] = [];
    if (chosen.dataset.left) more.push(["left", chosen.dataset.left]);
    if (right && splits.length === 2)
      more.push(["insert", written(splits[0] ?? 0)], ["recognise", written((splits[1] ?? 0) - (splits[0] ?? 0))]);
    results.push({ card, id: keep(exercise, card.dataset.item ?? "", took, right, more), took, right });
    withdrawn = [];
    hide(restore);
    if (withdraw) withdraw.hidden = false;
    said.textContent = chosen.dataset.said
      ? `${seconds(took)}. ${chosen.dataset.said}`
      : right
        ? `Right, in ${seconds(took)}.`
        : clock.isOwn()
          ? "Wrong: it has no seconds."
          : `It was ${card.dataset.answer}.`;
    if (exercise === "whole" && right) said.textContent = `${wholeWords(took, splits)} ${card.dataset.answer}`;
    after.hidden = false;
    after.querySelector<HTMLElement>(".practice-on")?.focus({ preventScroll: true });
    after.scrollIntoView({ block: "nearest" });
  };

  const next = (): void => {
    rest();
    at++;
    if (open === "5min" && practised - before >= timed) return finish();
    if (at >= items.length) {
      if (!open) return finish();
      // All were there: once more, in another order.
      const last = items[items.length - 1];
      const more = [...all];
      shuffle(more);
      if (more.length > 1 && more[0] === last) more.push(more.shift() as HTMLElement);
      items = items.concat(more);
    }
    show();
  };

  // rest counts how long was practised, and speaks of a break, once.
  const rest = (): void => {
    if (session !== null) practised += performance.now() - session;
    session = null;
    const line = byId("practice-break");
    if (line && practised >= breakAfter) line.hidden = false;
  };

  // stop stands the clock without a result: the item is shown anew.
  const stop = (): void => {
    if (at >= items.length || paused || isAsked() || items[at]?.hidden !== false) return;
    rest();
    paused = true;
    clock.stand();
    hide(within<HTMLElement>(".practice-picture"), within<HTMLElement>(".practice-answers"));
    if (pause) pause.textContent = "Go on";
    tell(`${progress()}: paused`);
    pause?.focus({ preventScroll: true });
  };

  const finish = (): void => {
    rest();
    clock.stand();
    at = items.length;
    for (const card of all) card.hidden = true;
    if (!summary || !bar) return;
    bar.hidden = false;
    hide(pause, end, patterns);
    for (const choices of document.querySelectorAll<HTMLElement>(".practice-head nav, .practice-what")) choices.hidden = false;
    summary.hidden = false;
    const misses = summarise(results);
    const again = byId<HTMLButtonElement>("practice-misses");
    if (again) {
      again.hidden = !misses.length;
      again.onclick = () => begin(misses, "");
    }
    tell("Done");
    summary.querySelector<HTMLElement>("h2")?.focus({ preventScroll: true });
  };

  // told, once it is written down, shows what there is to withdraw and to bring back, and says what was done.
  const told = (words: string): void => {
    if (withdraw) withdraw.hidden = !results.length;
    if (restore) restore.hidden = !withdrawn.length;
    if (summary && !summary.hidden) summarise(results);
    tell(words);
  };

  const withdrawLast = (): void => {
    const last = results.pop();
    if (!last) return;
    withdrawn.push(last);
    void save("/practice/results/withdraw", [["result", last.id]], last.id, () => told(`${last.card.dataset.name} was withdrawn`));
  };

  const restoreLast = (): void => {
    const last = withdrawn.pop();
    if (!last) return;
    results.push(last);
    void save("/practice/results/restore", [["result", last.id]], last.id, () => told(`${last.card.dataset.name} counts again`));
  };

  byId("practice-go")?.addEventListener("click", () => begin(all, length));
  byId("practice-react")?.addEventListener("click", () => {
    start.hidden = true;
    taps.start();
  });
  pause?.addEventListener("click", () => (paused ? show() : stop()));
  end?.addEventListener("click", finish);
  withdraw?.addEventListener("click", withdrawLast);
  restore?.addEventListener("click", restoreLast);
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) stop();
  });
  patterns?.addEventListener("click", (event) => {
    const button = (event.target as Element).closest<HTMLButtonElement>("button");
    if (button) answer(button, event.timeStamp);
    event.stopPropagation();
  });
  for (const card of all) {
    const picture = card.querySelector<HTMLElement>(".practice-picture");
    picture?.addEventListener("pointerdown", (event) => press(event.timeStamp));
    picture?.addEventListener("pointerup", (event) => clock.release(event.timeStamp));
    // What reads the screen aloud clicks, and presses nothing.
    picture?.addEventListener("click", (event) => {
      if (event.detail !== 0) return;
      press(event.timeStamp);
      clock.release(event.timeStamp);
    });
    card.addEventListener("click", (event) => {
      const button = (event.target as Element).closest<HTMLButtonElement>("button");
      if (button?.classList.contains("practice-answer")) answer(button, event.timeStamp);
      else if (button?.classList.contains("practice-on")) next();
    });
  }
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || (event.target as Element).matches("input, textarea")) return;
    const inSession = at < items.length && items[at]?.hidden === false;
    // A key that is held down is one press, and does not scroll.
    if (event.repeat) return void (event.key === " " && inSession && event.preventDefault());
    if (event.key === " " && taps.isOpen()) taps.tap(event.timeStamp);
    else if (event.key === " " && inSession && !paused && !isAsked() && !chooses()) press(event.timeStamp);
    else if (event.key === " " && !start.hidden && event.target === document.body) begin(all, length);
    else if (event.key === "p" && inSession) paused ? show() : stop();
    else if (event.key === "e" && inSession) finish();
    else if (event.key === "z" && results.length) withdrawLast();
    else if (event.key === "y" && withdrawn.length) restoreLast();
    else if (/^[1-9]$/.test(event.key) && inSession) {
      const chosen = within<HTMLButtonElement>(`.practice-answer[data-key="${event.key}"]`);
      if (chosen) answer(chosen, event.timeStamp);
    } else return;
    event.preventDefault();
  });
  document.addEventListener("keyup", (event) => {
    if (event.key !== " ") return;
    clock.release(event.timeStamp);
    // Some browsers click as the key comes up, whatever became of its way down.
    if ((event.target as Element).classList.contains("practice-picture")) event.preventDefault();
  });
}

// wholeWords say what a whole solve took, and its parts.
function wholeWords(took: number, splits: number[]): string {
  const [inserted, known] = splits;
  if (inserted === undefined || known === undefined) return `${seconds(took)}.`;
  return `${seconds(took)}: inserted in ${seconds(inserted)}, recognised in ${seconds(known - inserted)}, executed in ${seconds(took - known)}.`;
}

function hide(...parts: (HTMLElement | null)[]): void {
  for (const part of parts) if (part) part.hidden = true;
}

function shuffle<T>(all: T[]): void {
  for (let n = all.length - 1; n > 0; n--) {
    const other = Math.floor(Math.random() * (n + 1));
    [all[n], all[other]] = [all[other] as T, all[n] as T];
  }
}
