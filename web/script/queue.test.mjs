// Tests of the queue by itself: a page and a service that the test has in its hands.
// The real browser's pages are tested with it in Go.
import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { IDBFactory } from "fake-indexeddb";

const bundle = new URL("../node_modules/.queue/queue.mjs", import.meta.url);

// world is what a browser keeps: the database, the small texts, and what the service
// was sent and answers.
let world;

beforeEach(() => {
  world = { database: new IDBFactory(), texts: new Map(), sent: [], answer: () => made(1) };
});

// made is the service's answer that it made the change.
const made = (revision, owner = "me") =>
  new Response(null, { status: 204, headers: { "Slotcast-Owner": owner, "Slotcast-Revision": String(revision) } });

const refused = (status, detail, headers = {}) => new Response(JSON.stringify({ detail }), { status, headers });

const lost = () => {
  throw new TypeError("the answer got lost");
};

let pages = 0;

// open opens a page in the world's browser: the queue as a script of its own.
async function open({ owner, revision, loaded, asked = Date.now(), written = true } = {}) {
  const dataset = {};
  if (owner) Object.assign(dataset, { owner, revision: String(revision ?? 0) });
  if (loaded) dataset.loaded = "1";
  const listeners = {};
  const listen = (name, listener) => (listeners[name] ??= []).push(listener);
  const set = (name, value) => Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
  set("document", { documentElement: { dataset }, addEventListener: listen, hidden: false });
  set("addEventListener", listen);
  set("performance", { timeOrigin: asked });
  set("location", { href: "https://slotcast.test/ratings" });
  set("navigator", { onLine: true });
  set("indexedDB", written ? world.database : undefined);
  set("localStorage", {
    getItem: (name) => world.texts.get(name) ?? null,
    setItem: (name, text) => world.texts.set(name, text),
    removeItem: (name) => world.texts.delete(name),
  });
  set("fetch", async (address, { body }) => {
    const change = { address, ...Object.fromEntries(body) };
    world.sent.push(change);
    return world.answer(change);
  });
  const queue = await import(`${bundle}?page=${++pages}`);
  return { queue, dataset, leave: () => listeners.pagehide.forEach((listener) => listener()) };
}

// known is all changes as the page tells them to its listeners.
async function known({ queue }) {
  let changes;
  queue.onChanges((all) => (changes = all));
  await queue.tell();
  return changes;
}

const rate = ({ queue }, oll, level) => queue.save(`/ratings/${oll}`, [["recognise", level]], `recognise-${oll}`);

test("changes are sent in order, each under a name of its own", async () => {
  const page = await open({ owner: "me", revision: 7 });
  await Promise.all([rate(page, 1, "3"), rate(page, 2, "4"), rate(page, 3, "5")]);
  assert.deepEqual(
    world.sent.map((change) => [change.address, change.recognise]),
    [
      ["/ratings/1", "3"],
      ["/ratings/2", "4"],
      ["/ratings/3", "5"],
    ],
  );
  assert.equal(new Set(world.sent.map((change) => change["change-id"])).size, 3);
  assert.equal(new Set(world.sent.map((change) => change["change-device"])).size, 1);
  for (const change of world.sent) {
    assert.equal(change["change-owner"], "me");
    assert.equal(change["change-key"], undefined, "who has a profile proposes no key");
    assert.equal(change["change-seen"], undefined, "what is sent at once counts as it comes");
  }
});

test("where an answer got lost the same change is sent again, under the same name", async () => {
  const page = await open({ owner: "me", revision: 7 });
  world.answer = lost;
  const waiting = await rate(page, 1, "3");
  assert.ok(page.queue.waits(waiting));
  assert.ok(page.queue.isAway());
  world.answer = () => made(8);
  await page.queue.send();
  assert.equal(world.sent.length, 2);
  assert.equal(world.sent[0]["change-id"], world.sent[1]["change-id"]);
  assert.equal(world.sent[1]["change-seen"], "7", "what is sent late says what its page had seen");
  assert.ok(!page.queue.isAway());
  assert.equal((await known(page))[0].done, "8");
});

test("who has no profile proposes its key, the same until there is an answer", async () => {
  const page = await open();
  world.answer = lost;
  await rate(page, 1, "3");
  world.answer = () => made(1, "new");
  await rate(page, 2, "4");
  assert.deepEqual(
    world.sent.map((change) => change.address),
    ["/ratings/1", "/ratings/1", "/ratings/2"],
  );
  assert.match(world.sent[0]["change-key"], /^[A-Za-z0-9_-]{22}$/);
  assert.equal(world.sent[1]["change-key"], world.sent[0]["change-key"], "or it would make two profiles");
  assert.equal(page.dataset.owner, "new");
  assert.ok(!world.texts.has("slotcast-new-key"), "no script can read it any more");
});

test("of one thing the last change counts while it waits", async () => {
  const page = await open({ owner: "me", revision: 7 });
  world.answer = lost;
  await rate(page, 1, "3");
  await rate(page, 1, "5");
  await rate(page, 2, "1");
  world.sent = [];
  world.answer = () => made(8);
  await page.queue.send();
  assert.deepEqual(
    world.sent.map((change) => change.recognise),
    ["5", "1"],
  );
});

test("what the service refuses stays with its words, and holds up nothing", async () => {
  const page = await open({ owner: "me", revision: 7 });
  world.answer = (change) => (change.address === "/ratings/1" ? refused(400, "“9” is no rating") : made(8));
  const wrong = await rate(page, 1, "9");
  assert.deepEqual(wrong.trouble, { detail: "“9” is no rating", conflict: false, owner: "", seen: "0" });
  const right = await rate(page, 2, "4");
  assert.equal(right.done, "8");
  await page.queue.drop(wrong);
  assert.deepEqual(
    (await known(page)).map((change) => change.address),
    ["/ratings/2"],
  );
});

test("a conflict can be insisted on, now that what is kept was seen", async () => {
  const page = await open({ owner: "me", revision: 7 });
  world.answer = () => refused(409, "changed elsewhere", { "Slotcast-Owner": "me", "Slotcast-Revision": "12" });
  const change = await rate(page, 1, "3");
  assert.deepEqual(change.trouble, { detail: "changed elsewhere", conflict: true, owner: "me", seen: "12" });
  world.answer = () => made(13);
  await page.queue.insist(change);
  const [first, second] = world.sent;
  assert.notEqual(second["change-id"], first["change-id"], "the service did the first one's name already");
  assert.equal(second["change-seen"], "12");
  assert.equal((await known(page))[0].done, "13");
});

for (const [what, answer] of Object.entries({
  "an error of the service": () => refused(503, "busy"),
  "too many requests": () => refused(429, "slowly"),
  "a network that answers everything itself": () => new Response("log in first", { status: 200 }),
})) {
  test(`${what} is no answer: the change waits`, async () => {
    const page = await open({ owner: "me", revision: 7 });
    world.answer = answer;
    assert.ok(page.queue.waits(await rate(page, 1, "3")));
    world.answer = () => made(8);
    await page.queue.send();
    assert.equal((await known(page))[0].done, "8");
  });
}

test("the next page sends what the one before could not", async () => {
  const first = await open({ owner: "me", revision: 7 });
  world.answer = lost;
  await rate(first, 1, "3");
  world.answer = () => made(8);
  const second = await open({ owner: "me", revision: 7 });
  await second.queue.start();
  assert.equal(world.sent.length, 2);
  assert.equal((await known(second))[0].done, "8");
});

test("a change made as the page is left is there on the next", async () => {
  const first = await open({ owner: "me", revision: 7 });
  world.answer = lost;
  // The page is left before the database has it.
  void rate(first, 1, "4");
  first.leave();
  assert.equal(JSON.parse(world.texts.get("slotcast-hurried")).length, 1);
  world.sent = [];
  world.answer = () => made(8);
  const second = await open({ owner: "me", revision: 7 });
  await second.queue.start();
  assert.ok(world.sent.some((change) => change.recognise === "4"));
  assert.equal(world.texts.get("slotcast-hurried"), undefined);
});

test("two tabs write into one queue, and each change is sent", async () => {
  const first = await open({ owner: "me", revision: 7 });
  const second = await open({ owner: "me", revision: 7 });
  await Promise.all([rate(first, 1, "3"), rate(second, 2, "4")]);
  assert.deepEqual(new Set(world.sent.map((change) => change.address)), new Set(["/ratings/1", "/ratings/2"]));
  const changes = await known(second);
  assert.equal(changes.length, 2);
  assert.ok(changes.every((change) => change.done));
});

test("a change of a profile that the browser has left is forgotten by the next page", async () => {
  const before = await open({ owner: "me", revision: 7 });
  await rate(before, 1, "3");
  const after = await open({ owner: "another", revision: 1 });
  await after.queue.start();
  assert.deepEqual(await known(after), []);
});

test("a page that was asked for before the first change made a profile shows the change", async () => {
  const first = await open();
  const asked = Date.now() - 1000;
  await rate(first, 1, "3");
  const crossed = await open({ asked });
  let newer;
  crossed.queue.onNewer((changes) => (newer = changes));
  await crossed.queue.start();
  assert.deepEqual(
    newer.map((change) => [change.address, change.done]),
    [["/ratings/1", "1"]],
  );
  assert.equal((await known(crossed)).length, 1);
  // One that was asked for later, and is of nobody's, says that the profile is gone.
  const after = await open({ asked: Date.now() + 1 });
  await after.queue.start();
  assert.deepEqual(await known(after), []);
});

test("where nothing can be written down, changes last as long as the page", async () => {
  const page = await open({ owner: "me", revision: 7, written: false });
  world.answer = lost;
  await rate(page, 1, "3");
  world.answer = () => made(8);
  await page.queue.send();
  assert.equal((await known(page))[0].done, "8");
});

test("of what is done the oldest is forgotten", async () => {
  const page = await open({ owner: "me", revision: 7 });
  for (let n = 1; n <= 205; n++) await rate(page, n, "3");
  const changes = await known(page);
  assert.equal(changes.length, 201);
  assert.equal(changes[0].address, "/ratings/5");
});
