// Hands links on: by the clipboard, and by what the device shares with, where the browser
// can. A link with one's ranking is made where it is wanted.

import { drop, save, waits } from "./queue";

// Copying needs a script, so its buttons show only where there is one that may.
export function offerCopies(): void {
  if (!navigator.clipboard) return;
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-copy]")) {
    button.hidden = false;
  }
}

// say tells a screen reader what became of a button's press, as its words alone do not.
function say(within: Element, words: string): void {
  const said = within.closest(".share-ways, dialog")?.querySelector(".said");
  if (said) said.textContent = words;
}

async function copy(button: HTMLButtonElement): Promise<void> {
  try {
    await navigator.clipboard.writeText(new URL(button.dataset.copy ?? "", location.href).href);
    button.textContent = "Copied";
    say(button, "Link copied.");
  } catch {
    button.textContent = "Not copied: select the link";
    const folded = button.parentElement?.querySelector("details");
    if (folded) folded.open = true;
    say(button, "Not copied: select the link.");
  }
}

async function send(button: HTMLButtonElement): Promise<void> {
  const url = new URL(button.dataset.share ?? "", location.href).href;
  try {
    await navigator.share({ title: button.dataset.title ?? document.title, url });
  } catch (error) {
    // Who closes the device's own sheet changed their mind.
    if ((error as Error).name === "AbortError") return;
    button.textContent = "Not shared: copy the link";
    say(button, "Not shared: copy the link.");
  }
}

// makeShare has the service make the link with one's ranking, and shows it in the form's
// place.
async function makeShare(form: HTMLFormElement): Promise<void> {
  const ways = form.closest<HTMLElement>(".share-ways");
  if (!ways) return;
  say(ways, "Making the link …");
  const change = await save(form.action, [], "share");
  if (waits(change)) {
    // Nobody waits for a link, so it is not made later.
    await drop(change);
    return say(ways, "No link yet: making it needs the network. The other links can be copied without.");
  }
  if (change.trouble) return say(ways, `No link yet: ${change.trouble.detail}.`);
  try {
    const response = await fetch(form.action);
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    const fresh = page.querySelector("#way-with-me");
    const mine = form.closest("li");
    if (!response.ok || !fresh?.querySelector("[data-copy]") || !mine) throw new Error(response.statusText);
    mine.replaceWith(fresh);
    offerCopies();
    say(ways, "The link is there.");
    fresh.querySelector<HTMLElement>("button:not([hidden]), summary")?.focus();
  } catch {
    say(ways, "The link is made, but it could not be loaded: try again.");
  }
}

// missPicture says why a code is not there.
function missPicture(picture: HTMLImageElement): void {
  const words = document.createElement("p");
  words.className = "note";
  words.textContent = "The QR code needs the network. The link can be copied without.";
  picture.replaceWith(words);
}

export function offerSharing(): void {
  // The style sheet shows the buttons from now on, those that come later too.
  if (typeof navigator.share === "function") document.documentElement.classList.add("can-share");
  document.addEventListener("click", (event) => {
    const target = event.target as Element;
    const copies = target.closest<HTMLButtonElement>("button[data-copy]");
    if (copies) void copy(copies);
    const sends = target.closest<HTMLButtonElement>("button[data-share]");
    if (sends) void send(sends);
  });
  document.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    if (!form.hasAttribute("data-makes-share")) return;
    event.preventDefault();
    void makeShare(form);
  });
  // Such events do not bubble.
  document.addEventListener(
    "error",
    (event) => {
      if (event.target instanceof HTMLImageElement && event.target.matches(".share-ways .qr")) missPicture(event.target);
    },
    true,
  );
}
