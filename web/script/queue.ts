// Changes on their way to the service. Each is written down on this device before
// it is sent, so that a page that is closed, a browser that is started again and a
// network that is away for days lose nothing. They are sent in order, each under a
// name of its own, by which the service does it once.

export interface Change {
  // number is the change's place in the order.
  number?: number;
  id: string;
  address: string;
  fields: [string, string][];
  // about tells what is changed: a later change of the same takes this one's place.
  about: string;
  // seen and owner are what the page had been told: as of which revision it shows
  // whose profile.
  seen: string;
  owner: string;
  // late says that the person could not have it sent at once. What others changed
  // meanwhile is newer then, and stays.
  late: boolean;
  // done is the profile's revision after the change, "" until it is made; at is when that
  // was heard, in milliseconds.
  done: string;
  at?: number;
  trouble?: Trouble;
}

// Trouble is why the service refused a change.
export interface Trouble {
  detail: string;
  // conflict says that it may still be wanted, in place of what is kept now.
  conflict: boolean;
  owner: string;
  seen: string;
}

// Changes that are made are remembered for a while: a page that was kept before
// does not show them.
const mostDone = 200;

const page = document.documentElement;

let opened: Promise<IDBDatabase> | undefined;

function database(): Promise<IDBDatabase> {
  opened ??= new Promise((done, fail) => {
    const request = indexedDB.open("slotcast", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("changes", { keyPath: "number", autoIncrement: true });
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  return opened;
}

// Where the browser lets nothing be written down, changes last as long as the page.
let unwritten: Change[] | undefined;
let lastNumber = 0;

// read is all changes, with those that were made as a page was left.
async function read(): Promise<Change[]> {
  await (settled ??= settle());
  return written();
}

async function written(): Promise<Change[]> {
  if (unwritten) return unwritten.map((change) => ({ ...change }));
  try {
    const store = (await database()).transaction("changes").objectStore("changes");
    return await new Promise((done, fail) => {
      const request = store.getAll();
      request.onsuccess = () => done(request.result as Change[]);
      request.onerror = () => fail(request.error);
    });
  } catch {
    unwritten ??= [];
    return written();
  }
}

// write puts changes in and takes others out, all of it or nothing. One that was
// there before, and meanwhile gave way to a later one, stays gone.
async function write(put: Change[], remove: Change[]): Promise<void> {
  if (!unwritten) {
    try {
      const transaction = (await database()).transaction("changes", "readwrite");
      const store = transaction.objectStore("changes");
      for (const change of remove) store.delete(change.number as number);
      for (const change of put) {
        if (change.number === undefined) store.add(change);
        else store.count(change.number).onsuccess = (event) => (event.target as IDBRequest<number>).result && store.put(change);
      }
      return await new Promise((done, fail) => {
        transaction.oncomplete = () => done();
        transaction.onabort = () => fail(transaction.error);
      });
    } catch {
      unwritten ??= [];
    }
  }
  const gone = new Set(remove.map((change) => change.number));
  unwritten = unwritten
    .filter((change) => !gone.has(change.number))
    .map((change) => put.find((fresh) => fresh.number === change.number) ?? change);
  for (const change of put) {
    if (change.number === undefined) unwritten.push({ ...change, number: ++lastNumber });
  }
}

// remembered is a text that is kept where reading and writing take no time; null for
// none, also where the browser lets nothing be written down.
function remembered(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}

// remember keeps such a text; null for none any more.
function remember(name: string, text: string | null): void {
  try {
    if (text === null) localStorage.removeItem(name);
    else localStorage.setItem(name, text);
  } catch {
    // Then it lasts as long as the page.
  }
}

// secretOf is the secret that is kept under the name, made where there is none.
function secretOf(name: string): string {
  const kept = remembered(name) ?? secret();
  remember(name, kept);
  return kept;
}

// Changes that are not written down yet. Where the page is left before they are, they
// go where that takes no time.
const hurried = new Set<Change>();
const hurriedKey = "slotcast-hurried";

addEventListener("pagehide", () => {
  if (hurried.size) remember(hurriedKey, JSON.stringify([...takeHurried(), ...hurried]));
});

// takeHurried takes out the changes that were made as a page was left.
function takeHurried(): Change[] {
  const kept = remembered(hurriedKey);
  remember(hurriedKey, null);
  return JSON.parse(kept ?? "[]") as Change[];
}

let settled: Promise<void> | undefined;

// settle writes down what a page that was left could not.
async function settle(): Promise<void> {
  const left = takeHurried();
  if (!left.length) return;
  for (const change of left) hurried.add(change);
  const known = await written();
  // Of the same thing the last counts: a page that was left at once, too, may have
  // had what the page before it could not write down.
  const last = left.filter((change, i) => !left.slice(i + 1).some((later) => later.about === change.about));
  const fresh = last.filter((change) => !known.some((other) => other.id === change.id));
  await write(
    fresh,
    known.filter((other) => fresh.some((change) => change.about === other.about)),
  );
  for (const change of left) hurried.delete(change);
}

let line: Promise<unknown> = Promise.resolve();

// inTurn lets work wait for each other, in all tabs: two first changes at once
// would make a profile each.
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const next = line.then(() => (navigator.locks ? (navigator.locks.request("slotcast-save", work) as Promise<T>) : work()));
  line = next.catch(() => undefined);
  return next;
}

function secret(): string {
  const bits = crypto.getRandomValues(new Uint8Array(16));
  return btoa(String.fromCharCode(...bits))
    .replace(/\+/g, "-")
    .replace(/\//g, "_")
    .replace(/=/g, "");
}

// device tells this browser from the person's others.
const device = secretOf("slotcast-device");

// The key of the profile that the first change makes is proposed here, as the answer
// may get lost and the change be sent again. Once there is an answer, only the
// browser has it, where no script can read it.
const newKey = "slotcast-new-key";

type Listener = (changes: Change[]) => void;

const listeners: Listener[] = [];

// onChanges lets the listener know of all changes whenever one of them fares on.
export function onChanges(listener: Listener): void {
  listeners.push(listener);
}

let telling: Promise<void> | undefined;

// tell lets the listeners know, once for all that fares on at about the same time.
export function tell(): Promise<void> {
  telling ??= new Promise((done) => {
    setTimeout(async () => {
      telling = undefined;
      const changes = await read();
      for (const listener of listeners) listener(changes);
      done();
    }, 0);
  });
  return telling;
}

// The service did not answer when it was last asked.
let away = false;

export function isAway(): boolean {
  return away;
}

export function waits(change: Change): boolean {
  return !change.done && !change.trouble;
}

// isOwn says whether a change is of the profile that the page shows. One of nobody's may
// be from before the first change, which made the profile: a page that was kept, or was
// asked for before the answer to the change came.
export function isOwn(change: Change): boolean {
  const owner = page.dataset.owner ?? "";
  if (!change.owner || change.owner === owner) return true;
  return !owner && (page.dataset.loaded !== undefined || (change.at ?? 0) > performance.timeOrigin);
}

// onNewer lets the listener know, once, of what was changed after the page was made.
export function onNewer(listener: Listener): void {
  let told = false;
  onChanges((changes) => {
    if (!told) listener(changes.filter(isNewer));
    told = true;
  });
}

// isNewer says whether a change is of the page's profile, and newer than what the
// page shows.
function isNewer(change: Change): boolean {
  return isOwn(change) && !(change.done && Number(change.done) <= Number(page.dataset.revision ?? 0));
}

// save writes a change down and sends it. It answers how the change fared: made,
// still waiting, or refused.
export async function save(address: string, fields: [string, string][], about: string, isWritten = (): void => undefined): Promise<Change> {
  const { pathname } = new URL(address, location.href);
  const change: Change = {
    id: secret(),
    address: pathname,
    fields,
    about: `${pathname} ${about}`,
    seen: page.dataset.revision ?? "0",
    owner: page.dataset.owner ?? "",
    late: !navigator.onLine || away || page.dataset.loaded !== undefined,
    done: "",
  };
  hurried.add(change);
  const before = await read();
  change.late ||= before.some((other) => waits(other) && other.late);
  await write(
    [change],
    before.filter((other) => other.about === change.about),
  );
  hurried.delete(change);
  isWritten();
  void tell();
  await send();
  return (await read()).find((other) => other.id === change.id) ?? change;
}

let again: number | undefined;
let pause = 0;

// send sends what waits, in order. Where there is no answer it is tried again after
// a while, and at once when the network comes back.
export async function send(): Promise<void> {
  clearTimeout(again);
  await inTurn(async () => {
    for (;;) {
      const next = (await read()).find(waits);
      if (!next) {
        away = false;
        return tell();
      }
      const was = away;
      away = !(await sendOne(next));
      void tell();
      if (away) {
        pause = was ? Math.min(2 * pause, 60_000) : 5_000;
        clearTimeout(again);
        again = setTimeout(() => void send(), pause);
        return;
      }
    }
  });
}

// sendOne sends a change; it is false where there was no answer.
async function sendOne(change: Change): Promise<boolean> {
  const body = new URLSearchParams(change.fields);
  body.set("change-id", change.id);
  body.set("change-device", device);
  if (change.late) body.set("change-seen", change.seen);
  if (change.owner) body.set("change-owner", change.owner);
  else body.set("change-key", secretOf(newKey));
  let response: Response;
  try {
    response = await fetch(change.address, { method: "POST", body, headers: { Accept: "application/problem+json" }, keepalive: true });
  } catch {
    await write([{ ...change, late: true }], []);
    return false;
  }
  const owner = response.headers.get("Slotcast-Owner") ?? "";
  const seen = response.headers.get("Slotcast-Revision") ?? "";
  // Only this says that the service made the change: in some networks somebody else
  // answers everything.
  if (response.status === 204) {
    remember(newKey, null);
    if (owner && !page.dataset.owner) page.dataset.owner = owner;
    const done = (await read()).filter((other) => other.done);
    await write(
      [{ ...change, owner: change.owner || owner, done: seen || change.seen, at: Date.now() }],
      done.slice(0, Math.max(0, done.length - mostDone)),
    );
    return true;
  }
  if (response.status < 400 || response.status >= 500 || response.status === 408 || response.status === 429) {
    await write([{ ...change, late: true }], []);
    return false;
  }
  let detail = response.statusText;
  try {
    detail = ((await response.json()) as { detail: string }).detail;
  } catch {
    // The status has to do.
  }
  await write(
    [{ ...change, trouble: { detail, conflict: response.status === 409, owner: owner === "none" ? "" : owner, seen: seen || "0" } }],
    [],
  );
  return true;
}

// insist sends a change that was refused once more, now that what is kept was seen.
export async function insist(change: Change): Promise<void> {
  const { trouble, ...rest } = change;
  if (!trouble) return;
  await write([{ ...rest, id: secret(), owner: trouble.owner, seen: trouble.seen, late: true }], []);
  await tell();
  await send();
}

// drop forgets a change.
export async function drop(change: Change): Promise<void> {
  await write([], [change]);
  await tell();
}

// start sends what waited since the page before, and lets the listeners know.
export async function start(): Promise<void> {
  addEventListener("online", () => void send());
  addEventListener("offline", () => void tell());
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) void send();
  });
  if (page.dataset.loaded === undefined && page.dataset.why === undefined) {
    // The page is the service's own: what was made in another profile is over.
    await write(
      [],
      (await read()).filter((change) => change.done && !isOwn(change)),
    );
  }
  await tell();
  await send();
}
