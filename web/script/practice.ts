// Practice against the clock: a pattern is shown, the clock stops when one knows it, then
// one says which. Each result is written down at once, and sent when there is a network.

import { save } from "./queue";

interface Result {
  card: HTMLElement;
  id: string;
  took: number;
  right: boolean;
}

// breakAfter is after how many milliseconds of practice a break is spoken of.
const breakAfter = 10 * 60 * 1000;
const taps = 10;

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

// seconds is a time as it is read.
function seconds(took: number): string {
  return `${(took / 1000).toFixed(2)} s`;
}

// keep writes a result down; it answers its id.
function keep(exercise: string, item: string, took: number, right: boolean): string {
  const id = newId();
  const fields: [string, string][] = [
    ["id", id],
    ["exercise", exercise],
    ["item", item],
    ["at", new Date().toISOString()],
    ["seconds", (Math.max(1, Math.round(took)) / 1000).toFixed(3)],
    ["right", String(right)],
  ];
  // Each is about itself: none takes another's place.
  void save("/practice/results", fields, id);
  return id;
}

export function practise(): void {
  const start = byId("practice-start");
  const status = byId("practice-status");
  if (!start || !status) return;
  const all = [...document.querySelectorAll<HTMLElement>(".practice-item")];
  // A page that was kept is met again: not in the same order.
  if (document.documentElement.dataset.loaded !== undefined) shuffle(all);
  const bar = byId("practice-bar");
  const pause = byId<HTMLButtonElement>("practice-pause");
  const withdraw = byId<HTMLButtonElement>("practice-withdraw");
  const summary = byId("practice-summary");
  const tapped = byId("practice-taps");
  const signal = byId<HTMLButtonElement>("practice-signal");

  let items: HTMLElement[] = [];
  let at = 0;
  let results: Result[] = [];
  // since is when the clock started, null where it stands.
  let since: number | null = null;
  // armed says that the clock starts as the person lets go.
  let armed = false;
  let took = 0;
  let paused = false;
  // practised is for how long in all, and session since when in one go.
  let practised = 0;
  let session: number | null = null;

  const within = <T extends Element>(selector: string): T | null => items[at]?.querySelector<T>(selector) ?? null;

  const tell = (words: string): void => void (status.textContent = words);

  const progress = (): string => `${at + 1} of ${items.length}`;

  const begin = (chosen: HTMLElement[]): void => {
    items = chosen;
    at = 0;
    results = [];
    hide(start, summary, tapped);
    // What is chosen is out of the way until all is done.
    for (const choices of document.querySelectorAll<HTMLElement>(".practice-head nav")) choices.hidden = true;
    if (bar) bar.hidden = false;
    if (pause) pause.hidden = false;
    if (withdraw) withdraw.hidden = true;
    show();
  };

  // stand has the clock stand.
  const stand = (): void => {
    since = null;
    armed = false;
    for (const card of all) card.querySelector<HTMLElement>(".practice-picture")?.removeAttribute("data-runs");
  };

  // isExecuted says whether the item is one to execute: then the person starts the clock.
  const isExecuted = (): boolean => items[at]?.dataset.exercise === "execute";

  const label = (words: string): void => {
    const button = within(".practice-do");
    if (button) button.textContent = words;
  };

  // press is a finger or the space bar that goes down: it stops the clock, or is ready to
  // start it.
  const press = (now: number): void => {
    if (since !== null) know(now);
    else if (isExecuted() && !paused && within<HTMLElement>(".practice-answers")?.hidden) armed = true;
  };

  // release lets the clock start.
  const release = (now: number): void => {
    if (!armed) return;
    armed = false;
    since = now;
    label("Press to stop");
    const picture = within<HTMLElement>(".practice-picture");
    if (picture) picture.dataset.runs = "";
  };

  // show shows the item, and starts the clock once it is seen.
  const show = (): void => {
    for (const card of all) card.hidden = card !== items[at];
    const picture = within<HTMLElement>(".practice-picture");
    const answers = within<HTMLElement>(".practice-answers");
    const after = within<HTMLElement>(".practice-after");
    const said = within<HTMLElement>(".practice-said");
    if (!picture || !answers || !after || !said) return;
    for (const answer of answers.querySelectorAll<HTMLButtonElement>("button")) {
      answer.disabled = false;
      answer.classList.remove("is-right", "is-wrong");
    }
    hide(answers, after);
    picture.hidden = false;
    said.textContent = "";
    paused = false;
    if (pause) pause.textContent = "Pause";
    tell(progress());
    session ??= performance.now();
    stand();
    if (isExecuted()) label("Let go to start");
    else
      requestAnimationFrame((painted) => {
        if (paused || picture.hidden || !answers.hidden) return;
        since = painted;
        picture.dataset.runs = "";
      });
    picture.focus({ preventScroll: true });
  };

  // know stops the clock.
  const know = (now: number): void => {
    if (since === null || paused) return;
    took = Math.max(1, now - since);
    stand();
    const answers = within<HTMLElement>(".practice-answers");
    if (!answers) return;
    answers.hidden = false;
    answers.querySelector<HTMLElement>("button")?.focus({ preventScroll: true });
    answers.scrollIntoView({ block: "nearest" });
    tell(`${progress()}: ${isExecuted() ? "how did it go?" : "which is it?"}`);
  };

  const answer = (chosen: HTMLButtonElement): void => {
    const card = items[at];
    const answers = within<HTMLElement>(".practice-answers");
    const after = within<HTMLElement>(".practice-after");
    const said = within<HTMLElement>(".practice-said");
    if (!card || !answers || answers.hidden || chosen.disabled || !after || !said) return;
    const right = chosen.hasAttribute("data-right");
    for (const other of answers.querySelectorAll<HTMLButtonElement>("button")) {
      other.disabled = true;
      other.classList.toggle("is-right", other.hasAttribute("data-right"));
    }
    chosen.classList.toggle("is-wrong", !right);
    results.push({ card, id: keep(card.dataset.exercise ?? "", card.dataset.item ?? "", took, right), took, right });
    if (withdraw) withdraw.hidden = false;
    said.textContent = right
      ? `Right, in ${seconds(took)}.`
      : isExecuted()
        ? "Wrong: it has no seconds."
        : `It was ${card.dataset.answer}.`;
    after.hidden = false;
    after.querySelector<HTMLElement>(".practice-on")?.focus({ preventScroll: true });
    after.scrollIntoView({ block: "nearest" });
  };

  const next = (): void => {
    rest();
    at++;
    if (at < items.length) show();
    else finish();
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
    const answers = within<HTMLElement>(".practice-answers");
    if (at >= items.length || paused || !answers?.hidden) return;
    rest();
    paused = true;
    stand();
    within<HTMLElement>(".practice-picture")?.setAttribute("hidden", "");
    if (pause) pause.textContent = "Go on";
    tell(`${progress()}: paused`);
    pause?.focus({ preventScroll: true });
  };

  const finish = (): void => {
    for (const card of all) card.hidden = true;
    if (!summary || !bar) return;
    bar.hidden = false;
    hide(pause);
    for (const choices of document.querySelectorAll<HTMLElement>(".practice-head nav")) choices.hidden = false;
    summary.hidden = false;
    const right = results.filter((r) => r.right);
    const times = right.map((r) => r.took).sort((a, b) => a - b);
    const median = times.length ? ((times[(times.length - 1) >> 1] ?? 0) + (times[times.length >> 1] ?? 0)) / 2 : 0;
    const result = byId("practice-result");
    if (result) result.textContent = `${right.length} of ${results.length} right${median ? `, in ${seconds(median)} at the median` : ""}.`;
    const before = (r: Result): number => Number(r.card.dataset.median ?? 0);
    list(
      byId("practice-faster"),
      right.filter((r) => r.took < before(r)),
      (r) => `${r.card.dataset.name}: ${seconds(r.took)}, faster than your ${seconds(before(r))}`,
    );
    const misses = results.filter((r) => !r.right || (before(r) > 0 && r.took > 1.5 * before(r)));
    list(byId("practice-again"), misses, (r) =>
      r.right ? `${r.card.dataset.name}: ${seconds(r.took)}, slower than your ${seconds(before(r))}` : `${r.card.dataset.name}: wrong`,
    );
    const again = byId<HTMLButtonElement>("practice-misses");
    if (again) {
      again.hidden = !misses.length;
      again.onclick = () => begin(misses.map((r) => r.card));
    }
    tell("Done");
    summary.querySelector<HTMLElement>("h2")?.focus({ preventScroll: true });
  };

  const withdrawLast = (): void => {
    const last = results.pop();
    if (!last || !withdraw) return;
    void save("/practice/results/withdraw", [["result", last.id]], last.id);
    withdraw.hidden = !results.length;
    tell(`${last.card.dataset.name} was withdrawn`);
    if (summary && !summary.hidden) finish();
  };

  // The plain taps.
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
  const tap = (now: number): void => {
    if (!tapped || tapped.hidden) return;
    if (lit === null) {
      light();
      tell("Too early: wait for it");
      return;
    }
    keep("react", "signal", now - lit, true);
    left--;
    if (left > 0) return light();
    clearTimeout(wait);
    tapped.hidden = true;
    start.hidden = false;
    tell("Ten taps: they are subtracted from what you recognise");
    byId("practice-go")?.focus();
  };

  byId("practice-go")?.addEventListener("click", () => begin(all));
  byId("practice-react")?.addEventListener("click", () => {
    start.hidden = true;
    if (tapped) tapped.hidden = false;
    left = taps;
    light();
    signal?.focus();
  });
  // As the finger comes down: a click comes when it is lifted.
  signal?.addEventListener("pointerdown", (event) => tap(event.timeStamp));
  pause?.addEventListener("click", () => (paused ? show() : stop()));
  withdraw?.addEventListener("click", withdrawLast);
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) stop();
  });
  for (const card of all) {
    const picture = card.querySelector<HTMLElement>(".practice-picture");
    picture?.addEventListener("pointerdown", (event) => press(event.timeStamp));
    picture?.addEventListener("pointerup", (event) => release(event.timeStamp));
    // What reads the screen aloud clicks, and presses nothing.
    picture?.addEventListener("click", (event) => {
      if (event.detail !== 0) return;
      if (since !== null) know(event.timeStamp);
      else {
        press(event.timeStamp);
        release(event.timeStamp);
      }
    });
    card.addEventListener("click", (event) => {
      const button = (event.target as Element).closest<HTMLButtonElement>("button");
      if (button?.classList.contains("practice-answer")) answer(button);
      else if (button?.classList.contains("practice-on")) next();
    });
  }
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const inSession = at < items.length && items[at]?.hidden === false;
    // A key that is held down is one press, and does not scroll.
    if (event.repeat) return void (event.key === " " && inSession && event.preventDefault());
    if (event.key === " " && tapped?.hidden === false) tap(event.timeStamp);
    else if (
      event.key === " " &&
      inSession &&
      !paused &&
      (since !== null || (isExecuted() && within<HTMLElement>(".practice-answers")?.hidden))
    )
      press(event.timeStamp);
    else if (event.key === " " && !start.hidden && event.target === document.body) begin(all);
    else if (event.key === "p" && inSession) paused ? show() : stop();
    else if (event.key === "z" && results.length) withdrawLast();
    else if (/^[1-9]$/.test(event.key) && inSession) {
      const chosen = within<HTMLButtonElement>(`.practice-answer[data-key="${event.key}"]`);
      if (chosen) answer(chosen);
    } else return;
    event.preventDefault();
  });
  document.addEventListener("keyup", (event) => {
    if (event.key !== " ") return;
    release(event.timeStamp);
    // Some browsers click as the key comes up, whatever became of its way down.
    if ((event.target as Element).classList.contains("practice-picture")) event.preventDefault();
  });
}

function hide(...parts: (HTMLElement | null)[]): void {
  for (const part of parts) if (part) part.hidden = true;
}

function list(into: HTMLElement | null, results: Result[], words: (r: Result) => string): void {
  into?.replaceChildren(
    ...results.map((r) => {
      const line = document.createElement("li");
      line.textContent = words(r);
      return line;
    }),
  );
}

function shuffle<T>(all: T[]): void {
  for (let n = all.length - 1; n > 0; n--) {
    const other = Math.floor(Math.random() * (n + 1));
    [all[n], all[other]] = [all[other] as T, all[n] as T];
  }
}
