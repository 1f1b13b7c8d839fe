// Makes the plain forms answer without a page load. Everything works without
// this script too: it asks for the same addresses and takes the same HTML.

import { mindTheNetwork } from "./offline";
import { keepOwn } from "./own";

const statusLine = document.getElementById("status");
let asked: AbortController | undefined;

function addressOf(form: HTMLFormElement): string {
  const query = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string") query.append(name, value);
  }
  // Without this script the form leads on to the answer on the new page.
  const address = new URL(form.action);
  address.search = query.toString();
  address.hash = "";
  return address.href;
}

// take puts the parts of the new page that can change in place of the old ones;
// what is typed or focused stays as it is.
function take(page: Document, form: HTMLFormElement): void {
  // The figure shows the case that was found, unless it was told there.
  const figure = document.getElementById("tap");
  const found = page.getElementById("tap");
  if (figure && found) {
    if (form !== figure) {
      figure.replaceChildren(...found.childNodes);
    } else {
      for (const mark of figure.querySelectorAll<HTMLInputElement>(".slot input")) {
        const fresh = found.querySelector(`.slot input[name="${mark.name}"][value="${mark.value}"]`);
        mark.setAttribute("aria-label", fresh?.getAttribute("aria-label") ?? "");
      }
    }
  }
  for (const part of document.querySelectorAll("[data-fresh], #answer")) {
    const fresh = page.getElementById(part.id);
    if (fresh) part.replaceChildren(...fresh.childNodes);
  }
  for (const field of document.querySelectorAll("textarea, select, #code")) {
    const wrong = page.getElementById(field.id)?.getAttribute("aria-invalid");
    if (wrong) field.setAttribute("aria-invalid", wrong);
    else field.removeAttribute("aria-invalid");
  }
  const words = page.getElementById("status")?.textContent;
  if (statusLine && words) statusLine.textContent = words.trim().replace(/\s+/g, " ");
  offerCopies();
}

async function ask(form: HTMLFormElement): Promise<boolean> {
  asked?.abort();
  const request = new AbortController();
  asked = request;
  const address = addressOf(form);
  try {
    const response = await fetch(address, { signal: request.signal });
    const type = response.headers.get("Content-Type") ?? "";
    const text = await response.text();
    if (request.signal.aborted) return false;
    const page = new DOMParser().parseFromString(text, "text/html");
    if (!type.startsWith("text/html") || !page.getElementById("status")) {
      throw new Error("no forecast came back");
    }
    take(page, form);
    history.replaceState(null, "", address);
    return response.ok;
  } catch {
    if (!request.signal.aborted && statusLine) {
      statusLine.textContent = "The service did not answer. What you entered is still here; try again.";
    }
    return false;
  }
}

for (const form of document.querySelectorAll<HTMLFormElement>('form[method="get"]:not([data-plain])')) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (await ask(form)) {
      statusLine?.scrollIntoView({ block: "start" });
      return;
    }
    form.querySelector<HTMLElement>("[aria-invalid]")?.focus();
  });
  if (form.hasAttribute("data-live")) {
    form.addEventListener("change", (event) => {
      // What taps are for changes nothing of the case.
      if ((event.target as HTMLInputElement).name !== "mark") void ask(form);
    });
  }
}

// Copying needs a script, so its buttons show only where there is one that may.
function offerCopies(): void {
  if (!navigator.clipboard) return;
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-copy]")) {
    button.hidden = false;
  }
}

document.addEventListener("click", async (event) => {
  const button = (event.target as Element).closest<HTMLButtonElement>("button[data-copy]");
  if (!button) return;
  try {
    await navigator.clipboard.writeText(new URL(button.dataset.copy ?? "", location.href).href);
    button.textContent = "Copied";
  } catch {
    button.textContent = "Not copied: select the link";
  }
});

offerCopies();
keepOwn(offerCopies);
mindTheNetwork();
