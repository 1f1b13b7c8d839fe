// The pages that are kept on this device for when there is no network. The worker
// and the pages share them.

// A page is kept with what the service says of it, and with when and under which
// title it was loaded.
const owner = "Slotcast-Owner";
const revision = "Slotcast-Revision";
const loaded = "Slotcast-Loaded";
const title = "Slotcast-Title";
const wanted = "Slotcast-Wanted";
const packed = "Slotcast-Packed";

// Each person's pages have a store of their own; nobody's are for all.
const prefix = "pages-";
const nobody = "none";

// How many pages are kept: cases that were looked at, those that are wanted on
// purpose, and all the others.
const most = { seen: 50, wanted: 200, other: 80 };

export interface KeptPage {
  address: string;
  title: string;
  loaded: number;
  revision: string;
}

// Keeper is whose pages are kept, and since which turn: a new one begins with
// another owner, and when all is forgotten. What was asked for in an earlier turn may
// be answered late, with a page of a profile that is deleted by then. It is written
// down, as pages and worker share it and browsers stop a worker at any time.
interface Keeper {
  owner: string;
  turn: number;
}

const keeperStore = "keeper";
const keeperAddress = "/keeper";

async function keeper(): Promise<Keeper> {
  const kept = await caches.match(keeperAddress, { cacheName: keeperStore });
  return kept ? ((await kept.json()) as Keeper) : { owner: "", turn: 0 };
}

async function nextTurn(owner: string, last: number): Promise<void> {
  await (await caches.open(keeperStore)).put(keeperAddress, new Response(JSON.stringify({ owner, turn: last + 1 } satisfies Keeper)));
}

// turn is what keep and heed are told of a page that is asked for now.
export async function turn(): Promise<number> {
  return (await keeper()).turn;
}

async function stores(): Promise<string[]> {
  return (await caches.keys()).filter((name) => name.startsWith(prefix));
}

// readable are the stores whose pages may be shown, a person's own page before the
// one that anybody got.
async function readable(): Promise<string[]> {
  const [all, { owner }] = await Promise.all([stores(), keeper()]);
  return [prefix + owner, prefix + nobody].filter((name, i, both) => all.includes(name) && both.indexOf(name) === i);
}

// keeps says whether a page is one to be kept. What is looked up is kept under the
// case's own address; the profile has secrets, and comparisons are with others,
// who may revoke them.
export function keeps(address: string): boolean {
  const { pathname, search } = new URL(address, location.href);
  return (
    !/^\/(api|static|profile|device|compare|offline|healthz)\b/.test(pathname) && !(pathname === "/" && search) && !/[?&]with=/.test(search)
  );
}

// titleOf is a page's title as it reads: a worker has nothing that reads HTML.
function titleOf(page: string): string | undefined {
  const characters: Record<string, string> = { "#39": "'", "#34": '"', amp: "&", lt: "<", gt: ">" };
  return /<title>([^<]*)/.exec(page)?.[1]?.replace(/&(#39|#34|amp|lt|gt);/g, (_, name: string) => characters[name] ?? "");
}

// keep keeps a page that the service answered with. Such pages say that nobody is
// to store them: that is said to caches which others may come by, and to the
// browser's own, where a page would outlive what it shows. Here the person has it
// on purpose, sees it only where there is no network and with the time when it was
// loaded, and it goes with the profile.
export async function keep(address: string, response: Response, asked: number, onPurpose = false): Promise<void> {
  const whose = response.headers.get(owner);
  if (!whose || !response.ok || response.redirected || !response.headers.get("Content-Type")?.startsWith("text/html") || !keeps(address))
    return;
  if (!(await leaveTo(whose, asked))) return;
  const text = await response.text();
  const headers = new Headers(response.headers);
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  headers.set(loaded, String(Date.now()));
  headers.set(title, encodeURIComponent(titleOf(text) ?? address));
  // It took a while to be read.
  if (await isOver(whose)) return;
  const store = await caches.open(prefix + whose);
  const before = await store.match(address);
  if (onPurpose || before?.headers.has(wanted)) headers.set(wanted, "yes");
  // Anew at the end, so that the first ones are those seen longest ago.
  await store.delete(address);
  await store.put(address, pack(text, headers));
  // What others forgot meanwhile would be there again. There is a lock for this, but
  // a page that is left while it has one may hold up all others.
  if (await isOver(whose)) await caches.delete(prefix + whose);
  else await trim(store);
}

// isOver says whether pages of that owner are to be kept no longer. Nobody's may be
// kept beside a person's.
async function isOver(whose: string): Promise<boolean> {
  const { owner } = await keeper();
  return owner !== whose && (whose !== nobody || !owner);
}

// heed takes in whose the service says an answer is, also of pages that are not kept.
export async function heed(response: Response, asked: number): Promise<void> {
  const whose = response.headers.get(owner);
  if (whose && (await keeper()).owner !== whose) await leaveTo(whose, asked);
}

// pack makes of a page what is stored. Browsers store answers as they are, and a
// case's page is ten times smaller packed.
function pack(text: string, headers: Headers): Response {
  if (!("CompressionStream" in globalThis)) return new Response(text, { headers });
  headers.set(packed, "gzip");
  return new Response(new Blob([text]).stream().pipeThrough(new CompressionStream("gzip")), { headers });
}

function unpack(page: Response): Promise<string> {
  if (!page.headers.has(packed) || !page.body) return page.text();
  return new Response(page.body.pipeThrough(new DecompressionStream("gzip"))).text();
}

// leaveTo removes the pages of everybody else, unless the answer that says whose it is
// was asked for before what is known by now. A profile that was deleted, or left for
// another, leaves none behind.
async function leaveTo(whose: string, asked: number): Promise<boolean> {
  const known = await keeper();
  if (known.owner !== whose) {
    if (known.turn !== asked) return false;
    await nextTurn(whose, known.turn);
  }
  for (const name of await stores()) {
    if (name !== prefix + whose && name !== prefix + nobody) await caches.delete(name);
  }
  return true;
}

async function trim(store: Cache): Promise<void> {
  // A case in all its views counts as one; it was last seen when any of them was.
  const kinds: Record<keyof typeof most, Map<string, Request[]>> = { seen: new Map(), wanted: new Map(), other: new Map() };
  for (const request of await store.keys()) {
    const page = await store.match(request);
    const { pathname } = new URL(request.url);
    const isCase = /^\/case\/[^/]+$/.test(pathname);
    const kind = kinds[page?.headers.has(wanted) ? "wanted" : isCase ? "seen" : "other"];
    const name = isCase ? pathname : request.url;
    const views = [...(kind.get(name) ?? []), request];
    kind.delete(name);
    kind.set(name, views);
  }
  for (const kind of ["seen", "wanted", "other"] as const) {
    const pages = [...kinds[kind].values()];
    for (const views of pages.slice(0, Math.max(0, pages.length - most[kind]))) {
      for (const request of views) await store.delete(request);
    }
  }
}

// find is the kept page at the address; of a case and of a list of one's own, that
// in another view will do.
export async function find(address: string): Promise<Response | undefined> {
  const anyView = /^\/(case\/[^/]*|ratings|ratings\/deck|insertions|cases|practice)$/.test(new URL(address, location.href).pathname);
  for (const ignoreSearch of anyView ? [false, true] : [false]) {
    for (const name of await readable()) {
      const page = await (await caches.open(name)).match(address, { ignoreSearch });
      if (page) return page;
    }
  }
  return undefined;
}

// shown is a kept page that tells its script since when it is kept.
export async function shown(page: Response): Promise<Response> {
  const text = await unpack(page);
  return new Response(text.replace("<html ", `<html data-loaded="${page.headers.get(loaded)}" `), { headers: page.headers });
}

// list has the kept pages, the newest first.
export async function list(): Promise<KeptPage[]> {
  const pages = new Map<string, KeptPage>();
  for (const name of await readable()) {
    const store = await caches.open(name);
    for (const request of await store.keys()) {
      const page = await store.match(request);
      if (!page || pages.has(request.url)) continue;
      pages.set(request.url, {
        address: request.url,
        title: decodeURIComponent(page.headers.get(title) ?? ""),
        loaded: Number(page.headers.get(loaded)),
        revision: page.headers.get(revision) ?? "",
      });
    }
  }
  return [...pages.values()].sort((a, b) => b.loaded - a.loaded);
}

export async function forget(): Promise<void> {
  // What is on its way would be there again.
  await nextTurn("", (await keeper()).turn);
  for (const name of await stores()) await caches.delete(name);
}
