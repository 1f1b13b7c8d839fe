// What a page does about the network: it says when there is none and what that
// leaves out, keeps pages for that time, and says what became of the changes that
// waited.

import { find, forget, keep, keeps, list, turn } from "./kept";
import { isShown } from "./own";
import { type Change, drop, insist, isAway, isOwn, onChanges, send, start, tell, waits } from "./queue";

const page = document.documentElement;
const hour = 60 * 60 * 1000;

// A page that lists what is one's own is loaded again for later when it shows an
// older state, but not with each change; and once in a while anyway.
const oldest = 12 * hour;
const soonest = hour / 12;

function timeOf(milliseconds: number): string {
  const date = new Date(milliseconds);
  const time = date.toLocaleTimeString("en", { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  if (date.toDateString() === new Date().toDateString()) return time;
  return `${time} on ${date.toLocaleDateString("en", { day: "numeric", month: "long" })}`;
}

function counted(n: number): string {
  return n === 1 ? "1 change waits to be sent." : `${n} changes wait to be sent.`;
}

// reached says that a page that was shown as there was no network has one now.
let reached = false;

// banner has the words about the network, "" where there is nothing to say.
function banner(waiting: number): string {
  const kept = page.dataset.loaded;
  const seen = kept ? `What you see was loaded at ${timeOf(Number(kept))}; forecasts for new cases need the network.` : "";
  const left = waiting ? ` ${counted(waiting)}` : "";
  if (!navigator.onLine) return `Offline. ${seen || "Forecasts for new cases need the network."}${left}`;
  if (isAway() || (kept && !reached)) return `Slotcast is not answering. ${seen || "Forecasts for new cases need it."}${left}`;
  if (kept) return `The network is back. What you see was loaded at ${timeOf(Number(kept))}.${left}`;
  return "";
}

// settled says that the page has said what it had to say of the network as it was opened:
// from then on a finger may be on its way.
let settled = navigator.onLine && !page.dataset.loaded;

// stay leaves what is in the middle of the screen, which a finger may be on its way to, where
// it is while words above it come or go.
function stay(change: () => void): void {
  const middle = settled ? document.elementFromPoint(innerWidth / 2, innerHeight / 2) : null;
  const before = middle?.getBoundingClientRect().top ?? 0;
  const root = document.documentElement;
  root.style.overflowAnchor = "none"; // or browsers would move the page too, some of them
  change();
  if (middle?.isConnected) scrollBy({ top: middle.getBoundingClientRect().top - before, behavior: "instant" });
  requestAnimationFrame(() => requestAnimationFrame(() => (root.style.overflowAnchor = "")));
  settled = true;
}

let saidBefore = "";
let inSight: number | undefined;

function tellNetwork(changes: Change[]): void {
  const words = banner(changes.filter(waits).length);
  const back = navigator.onLine && !isAway() && reached;
  const network = document.getElementById("network");
  // What is new is in sight for a while, wherever the page is scrolled; how many changes wait is not new.
  const news = banner(0);
  if (news !== saidBefore && settled) {
    network?.classList.toggle("new", !!news);
    clearTimeout(inSight);
    inSight = setTimeout(() => network?.classList.remove("new"), 8_000);
  }
  saidBefore = news;
  stay(() => {
    const status = document.getElementById("network-status");
    if (status && status.textContent !== words) status.textContent = words;
    network?.classList.toggle("said-something", !!words);
    const links = document.getElementById("network-links");
    if (links) links.hidden = !words || location.pathname === "/offline";
    const again = document.getElementById("load-again");
    if (again) again.hidden = !page.dataset.loaded || !back;
    lock(!!words && !back);
  });
}

// keepTyped loses nothing of a form that no script sends: where there is no network
// it is not sent, and where that turns out only then, the way back has what was
// typed.
function keepTyped(): void {
  const key = "slotcast-typed";
  type Typed = { page: string; action: string; fields: [string, string][] };
  document.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    if (event.defaultPrevented || form.method !== "post") return;
    if (!navigator.onLine || isAway()) {
      event.preventDefault();
      const status = document.getElementById("network-status");
      if (status) status.textContent = "Not sent: this needs the network. What you typed is still here.";
      status?.scrollIntoView({ block: "nearest" });
      return;
    }
    const fields = [...new FormData(form)].filter((field): field is [string, string] => typeof field[1] === "string");
    try {
      sessionStorage.setItem(key, JSON.stringify({ page: location.href, action: form.action, fields } satisfies Typed));
    } catch {
      // The browser has its own way back.
    }
  });
  const way = performance.getEntriesByType("navigation")[0] as PerformanceNavigationTiming | undefined;
  try {
    const typed = JSON.parse(sessionStorage.getItem(key) ?? "null") as Typed | null;
    // The page that stands in for the answer has the form's address.
    if (typed?.page !== location.href || page.dataset.why) return;
    sessionStorage.removeItem(key);
    if (way?.type !== "back_forward") return;
    const form = [...document.forms].find((form) => form.action === typed.action);
    for (const [name, value] of typed.fields) {
      const field = form?.elements.namedItem(name);
      if (field instanceof HTMLTextAreaElement || (field instanceof HTMLInputElement && field.type === "text")) field.value = value;
    }
  } catch {
    // Nothing that could be read was kept.
  }
}

// lock keeps people from asking for what only the service can answer. What they
// typed stays, and can be typed on.
function lock(locked: boolean): void {
  for (const form of document.querySelectorAll<HTMLFormElement>('form[method="get"]')) {
    for (const field of form.elements) {
      if (
        field instanceof HTMLFieldSetElement ||
        field instanceof HTMLTextAreaElement ||
        (field instanceof HTMLInputElement && /^(text|search|hidden)$/.test(field.type))
      )
        continue;
      if (locked && !field.matches(":disabled")) {
        field.setAttribute("disabled", "");
        field.setAttribute("data-locked", "");
      } else if (!locked && field.hasAttribute("data-locked")) {
        field.removeAttribute("disabled");
        field.removeAttribute("data-locked");
      }
    }
    const note = form.querySelector(":scope > .locked-note");
    if (!locked) note?.remove();
    else if (!note) {
      const words = document.createElement("p");
      words.className = "note locked-note";
      words.textContent = "A new case needs the network. Your last cases open without it.";
      form.prepend(words);
    }
  }
}

// tellTroubles shows the changes that were refused where no form on the page does,
// and lets the person choose where somebody else's change stands against it.
function tellTroubles(changes: Change[]): void {
  const place = document.getElementById("troubles");
  if (!place) return;
  const open = changes.filter((change) => change.trouble && (change.trouble.conflict || !isShown(change) || !isOwn(change)));
  // What stays is not said again, and keeps the focus.
  const shown = open.map((change) => change.id).join();
  if (place.dataset.shown === shown) return;
  place.dataset.shown = shown;
  place.hidden = !open.length;
  const focused = place.contains(document.activeElement);
  place.replaceChildren(
    ...open.map((change) => {
      const item = document.createElement("div");
      item.className = "panel trouble";
      const words = document.createElement("p");
      words.textContent = sentence(change.trouble?.detail ?? "");
      item.append(words);
      if (change.trouble?.conflict) item.append(choice("Take mine", () => insist(change)));
      item.append(
        choice(change.trouble?.conflict ? "Leave it" : "Drop it", async () => {
          await drop(change);
          // The page still shows what was wanted.
          if (isShown(change)) location.reload();
        }),
      );
      return item;
    }),
  );
  if (focused)
    (place.querySelector("button") ?? document.querySelector<HTMLElement>("#load-again:not([hidden]), main a, main button"))?.focus();
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

function choice(label: string, chosen: () => Promise<void>): HTMLButtonElement {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "quiet";
  button.textContent = label;
  button.addEventListener("click", () => void chosen());
  return button;
}

let looking: number | undefined;

// look asks until the service answers, while a page is shown as it did not.
async function look(pause = 5_000): Promise<void> {
  clearTimeout(looking);
  try {
    const response = await fetch("/healthz", { method: "HEAD", cache: "no-store" });
    reached = response.ok;
  } catch {
    reached = false;
  }
  await (reached ? send() : tell());
  if (!reached) looking = setTimeout(() => void look(Math.min(2 * pause, 60_000)), pause);
}

// keepPages keeps for later what the page says is wanted, and the page itself
// where the worker was not there yet when it was loaded.
async function keepPages(): Promise<void> {
  // Whoever pays for each byte gets no more than was asked for.
  if ((navigator as Navigator & { connection?: { saveData?: boolean } }).connection?.saveData) return;
  const way = performance.getEntriesByType("navigation")[0] as PerformanceNavigationTiming | undefined;
  // A worker that is there now may have come later.
  if (!way?.workerStart && keeps(location.href)) await fetchToKeep(location.href, false);
  const known = new Map((await list()).map((kept) => [kept.address, kept]));
  // The header leads to the pages that are everybody's own.
  for (const link of document.querySelectorAll<HTMLAnchorElement>('.pages a, a[data-keep-offline]:not([data-keep-offline="seen"])')) {
    if (!keeps(link.href)) continue;
    const kept = known.get(link.href);
    const age = Date.now() - (kept?.loaded ?? 0);
    if (age < soonest || (age < oldest && kept?.revision === (page.dataset.revision ?? ""))) continue;
    if (!navigator.onLine) return;
    await fetchToKeep(link.href, link.hasAttribute("data-keep-offline"));
  }
}

const stopKeeping = new AbortController();

async function fetchToKeep(address: string, onPurpose: boolean): Promise<void> {
  try {
    const asked = await turn();
    // Nobody looks at it now.
    const response = await fetch(address, { headers: { Purpose: "prefetch" }, priority: "low", signal: stopKeeping.signal });
    await keep(address, response, asked, onPurpose);
  } catch {
    // Another time.
  }
}

// keepLater waits until the page has what it needs itself.
function keepLater(): void {
  const register = async (): Promise<void> => {
    try {
      await navigator.serviceWorker.register("/worker.js");
      await navigator.serviceWorker.ready;
      if (!page.dataset.loaded) await keepPages();
    } catch {
      // Without a worker, all of it still works with a network.
    }
  };
  const soon = (): void => void setTimeout(() => void register(), 1_000);
  keepLookedUp(); // from the start: some are quick
  if (document.readyState === "complete") soon();
  else addEventListener("load", soon);
}

// listKept shows on the page that stands in for others what is there instead.
async function listKept(): Promise<void> {
  const place = document.getElementById("kept-pages");
  if (!place || !("caches" in window)) return;
  const pages = await list();
  place.replaceChildren(
    ...pages.map((kept) => {
      const item = document.createElement("li");
      const link = document.createElement("a");
      link.href = kept.address;
      link.textContent = kept.title.replace(/ – Slotcast$/, "");
      const time = document.createElement("small");
      time.textContent = ` loaded at ${timeOf(kept.loaded)}`;
      item.append(link, time);
      return item;
    }),
  );
  const none = document.getElementById("nothing-kept");
  if (none) none.hidden = pages.length > 0;
}

// offerForget lets the person remove what is kept, and says how much it is.
async function offerForget(): Promise<void> {
  const part = document.getElementById("on-this-device");
  const words = document.getElementById("kept-count");
  if (!part || !words || !("caches" in window)) return;
  part.hidden = false;
  const count = async (done: string): Promise<void> => {
    const n = (await list()).length;
    words.textContent = `${done}${n === 1 ? "1 page is" : `${n || "No"} pages are`} kept on this device.`;
  };
  await count("");
  document.getElementById("forget-kept")?.addEventListener("click", async () => {
    stopKeeping.abort();
    await forget();
    await count("Forgotten. ");
    await listKept();
  });
}

// keepLookedUp keeps the page of a case that was looked up, once the person has
// looked at it for a while.
function keepLookedUp(): void {
  const answer = document.getElementById("answer");
  if (!answer) return;
  let soon: number | undefined;
  new MutationObserver(() => {
    clearTimeout(soon);
    soon = setTimeout(async () => {
      const link = answer.querySelector<HTMLAnchorElement>('a[data-keep-offline="seen"]');
      // The order until all is solved is one of many views, of which each is another page.
      if (link && navigator.onLine && (link.search || !(await find(link.href)))) await fetchToKeep(link.href, false);
    }, 3_000);
  }).observe(answer, { childList: true });
}

export function mindTheNetwork(): void {
  onChanges((changes) => {
    tellNetwork(changes);
    tellTroubles(changes);
  });
  addEventListener("online", () => {
    if (page.dataset.loaded) void look();
  });
  addEventListener("offline", () => {
    reached = false;
  });
  document.getElementById("load-again")?.addEventListener("click", () => location.reload());
  void listKept();
  void offerForget();
  keepTyped();
  void start();
  if (page.dataset.loaded) void look();
  // Where the address is no secure one, browsers have neither.
  if ("serviceWorker" in navigator && "caches" in window) keepLater();
}
