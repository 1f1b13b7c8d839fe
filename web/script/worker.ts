// The service worker: it stands between the pages and the network, keeps what went
// by, and answers with that where there is no network. What it answers while there
// is one always comes from the service.

import { find, forget, heed, keep, keeps, shown, turn } from "./kept";

declare const self: ServiceWorkerGlobalScope & {
  // The service puts the addresses of what pages are made of before this script.
  pageFiles: string[];
};

const files = "files";
// A kept page may be from before the program was last changed, and needs the files
// of that time.
const mostFiles = 30;

const offlinePage = "/offline";

// How long the network may take where there is a kept page to show instead.
const patience = 4000;

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const store = await caches.open(files);
      await store.addAll([...self.pageFiles, offlinePage]);
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const store = await caches.open(files);
      const all = await store.keys();
      for (const request of all.slice(0, Math.max(0, all.length - mostFiles))) await store.delete(request);
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin || url.pathname.startsWith("/api/") || url.pathname === "/profile/export") return;
  if (request.method === "GET" && url.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(request.method === "GET" ? page(event) : sent(request));
});

// file answers with a file of pages: its name changes with what is in it.
async function file(request: Request): Promise<Response> {
  const store = await caches.open(files);
  const kept = await store.match(request);
  if (kept) return kept;
  const response = await fetch(request);
  if (response.ok) await store.put(request, response.clone());
  return response;
}

// page asks the network first, so that nothing old is shown while there is one.
async function page(event: FetchEvent): Promise<Response> {
  const { request } = event;
  const asked = await turn();
  const answer = fetch(request).then(async (response) => {
    // Where the device has no room left, the page is shown all the same.
    if (keeps(request.url)) event.waitUntil(keep(request.url, response.clone(), asked).catch(() => undefined));
    await heed(response, asked).catch(() => undefined);
    // What a proxy says when the service behind it is away. The service itself says when
    // to ask again: that is shown where nothing is kept.
    const isAway = response.status >= 502 && response.status <= 504;
    if (isAway && (!response.headers.has("Retry-After") || (await find(request.url)))) throw new Error(response.statusText);
    return response;
  });
  event.waitUntil(answer.catch(() => undefined));
  const kept = await find(request.url);
  if (!kept) return answer.catch(() => standIn(new URL(request.url).pathname === offlinePage ? "asked" : "missing"));
  const late = new Promise<undefined>((done) => setTimeout(done, patience));
  return (await Promise.race([answer, late]).catch(() => undefined)) ?? shown(kept);
}

// sent sends a form that no script of the page sends.
async function sent(request: Request): Promise<Response> {
  const leaves = /^\/(profile\/delete|device\/[^/]+)$/.test(new URL(request.url).pathname);
  const response = await fetch(request).catch(() => undefined);
  // A redirect, whose status a worker is not told, says that the profile is deleted or
  // left; so it may be where the answer was lost.
  const isRefused = response && response.status >= 200 && response.status < 500;
  if (leaves && !isRefused) await forget().catch(() => undefined);
  return response ?? standIn("unsent");
}

// standIn is the page for where there is none; why says what its words are about.
async function standIn(why: "asked" | "missing" | "unsent"): Promise<Response> {
  const page = await (await caches.open(files)).match(offlinePage);
  if (!page) return Response.error();
  const text = await page.text();
  return new Response(text.replace("<html ", `<html data-why="${why}" `), { status: 503, headers: page.headers });
}
