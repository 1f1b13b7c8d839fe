// Saves what people say of patterns and insertions as they say it, and rates
// with keys. Without this script the same forms have buttons.

const noAnswer = "the service did not answer; it is tried again with your next change";

let line: Promise<unknown> = Promise.resolve();

// inTurn lets changes wait for each other, in all tabs: two first ones at once
// would make a profile each.
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const next = line.then(() => (navigator.locks ? (navigator.locks.request("slotcast-save", work) as Promise<T>) : work()));
  line = next.catch(() => undefined);
  return next;
}

// post sends a form's fields; it answers what is wrong, "" for nothing.
async function post(address: string, fields: URLSearchParams): Promise<string> {
  const response = await fetch(address, {
    method: "POST",
    body: fields,
    headers: { Accept: "application/problem+json" },
    keepalive: true,
  });
  if (response.ok) return "";
  try {
    return ((await response.json()) as { detail: string }).detail;
  } catch {
    return response.statusText;
  }
}

// What is not saved yet, by form and field: it is sent again with the next change.
const unsaved = new Map<HTMLFormElement, Map<string, string>>();

function say(form: HTMLFormElement, words: string, bad = false): void {
  const said = form.querySelector(".said");
  if (!said) return;
  said.textContent = words;
  said.classList.toggle("bad", bad);
}

async function saveOne(form: HTMLFormElement, field: string, value: string): Promise<void> {
  let wrong: string;
  try {
    wrong = await post(form.action, new URLSearchParams({ [field]: value }));
  } catch {
    say(form, `not saved: ${noAnswer}`, true);
    return;
  }
  const fields = unsaved.get(form);
  // What was changed again meanwhile has its own turn.
  if (fields?.get(field) === value) fields.delete(field);
  if (wrong) {
    say(form, `not saved: ${wrong}`, true);
    return;
  }
  if (fields?.size) return;
  unsaved.delete(form);
  say(form, "saved");
}

function save(form: HTMLFormElement, field: string, value: string): void {
  const fields = unsaved.get(form) ?? new Map<string, string>();
  fields.set(field, value);
  unsaved.set(form, fields);
  say(form, "saving …");
  for (const [form, fields] of unsaved) {
    for (const [field, value] of fields) {
      void inTurn(async () => {
        if (unsaved.get(form)?.get(field) === value) await saveOne(form, field, value);
      });
    }
  }
}

// changed saves a field. A rating and a measured time take each other's place, as
// they do in the profile.
function changed(form: HTMLFormElement, input: HTMLInputElement): void {
  const seconds = `${input.name}-seconds`;
  if (input.type === "radio") {
    const measured = form.elements.namedItem(seconds);
    if (measured instanceof HTMLInputElement) measured.value = "";
  } else if (input.name.endsWith("-seconds")) {
    const step = input.name.slice(0, -"-seconds".length);
    const unrated = form.querySelector<HTMLInputElement>(`input[type="radio"][name="${step}"][value=""]`);
    if (unrated) unrated.checked = true;
  } else if (input.name === "name") {
    const heading = form.querySelector(".own-name");
    if (heading) heading.textContent = input.value.trim();
  }
  save(form, input.name, input.value);
  tellRated();
}

// tellRated counts the patterns of which every step is rated or measured, where
// all of them are on the page.
function tellRated(): void {
  const summary = document.querySelector<HTMLElement>("#rated[data-all]");
  if (!summary) return;
  const forms = [...document.querySelectorAll<HTMLFormElement>("form[data-saves]")];
  const rated = forms.filter((form) =>
    rowsOf(form).every((row) => {
      const chosen = row.querySelector<HTMLInputElement>("input:checked");
      const measured = form.elements.namedItem(`${chosen?.name}-seconds`);
      return chosen?.value || (measured instanceof HTMLInputElement && measured.value);
    }),
  );
  summary.textContent = `${rated.length} of ${forms.length} patterns rated`;
}

function firstRow(form: HTMLFormElement | undefined): HTMLElement | undefined {
  return form && rowsOf(form)[0];
}

function rowsOf(within: ParentNode): HTMLElement[] {
  return [...within.querySelectorAll<HTMLElement>("[data-step]")];
}

function enter(row: HTMLElement | undefined): void {
  const input = row?.querySelector<HTMLInputElement>("input:checked") ?? row?.querySelector<HTMLInputElement>('input[type="radio"]');
  if (!input) return;
  input.focus({ preventScroll: true });
  input.closest("form")?.scrollIntoView({ block: "center" });
}

function rateByKey(event: KeyboardEvent): void {
  const input = event.target;
  if (!(input instanceof HTMLInputElement) || input.type !== "radio" || event.ctrlKey || event.altKey || event.metaKey) return;
  const form = input.closest<HTMLFormElement>("form[data-saves]");
  const row = input.closest<HTMLElement>("[data-step]");
  if (!form || !row) return;
  const rows = rowsOf(document);
  const forms = [...document.querySelectorAll<HTMLFormElement>("form[data-saves]")];
  const next = rows[rows.indexOf(row) + 1];
  const at = forms.indexOf(form);
  switch (event.key) {
    case "ArrowDown":
      enter(next);
      break;
    case "ArrowUp":
      enter(rows[rows.indexOf(row) - 1]);
      break;
    case "ArrowRight":
      enter(firstRow(forms[at + 1]));
      break;
    case "ArrowLeft":
      enter(firstRow(forms[at - 1]));
      break;
    default: {
      if (!/^[0-5]$/.test(event.key)) return;
      const value = event.key === "0" ? "" : event.key;
      const choice = row.querySelector<HTMLInputElement>(`input[type="radio"][value="${value}"]`);
      if (!choice) return;
      choice.checked = true;
      choice.focus();
      changed(form, choice);
      if (value) enter(next);
    }
  }
  event.preventDefault();
}

// refresh marks insertions and shows the answer anew, where the page stands.
async function refresh(form: HTMLFormElement, button: HTMLButtonElement, ready: () => void): Promise<void> {
  const status = document.getElementById("status");
  try {
    const wrong = await inTurn(() => post(form.action, new URLSearchParams({ [button.name]: button.value })));
    if (wrong) throw new Error(wrong);
    const response = await fetch(location.href);
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    const fresh = page.getElementById("answer");
    if (!response.ok || !fresh) throw new Error(noAnswer);
    const open = [...document.querySelectorAll("#answer details[open] button")].map((b) => (b as HTMLButtonElement).value);
    document.getElementById("answer")?.replaceChildren(...fresh.childNodes);
    for (const details of document.querySelectorAll("#answer details")) {
      const has = [...details.querySelectorAll("button")].some((b) => open.includes(b.value));
      if (has) details.setAttribute("open", "");
    }
    const done = button.name === "hide" ? "Hidden; Insertions still has it." : "Saved.";
    if (status) status.textContent = `${done} ${page.getElementById("status")?.textContent?.trim().replace(/\s+/g, " ") ?? ""}`;
    const buttons = [...document.querySelectorAll<HTMLButtonElement>("#answer button[form]")];
    (buttons.find((other) => other.value === button.value) ?? buttons[0])?.focus({ preventScroll: true });
    ready();
  } catch (error) {
    if (status) status.textContent = `Not saved: ${error instanceof TypeError ? "the service did not answer" : (error as Error).message}`;
  }
}

export function keepOwn(ready: () => void): void {
  for (const part of document.querySelectorAll<HTMLElement>("[data-with-script]")) part.hidden = false;
  for (const part of document.querySelectorAll<HTMLElement>("[data-without-script]")) part.hidden = true;
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-saves]")) {
    form.addEventListener("change", (event) => changed(form, event.target as HTMLInputElement));
    form.addEventListener("submit", (event) => event.preventDefault());
  }
  document.addEventListener("keydown", rateByKey);
  document.getElementById("rate-by-keys")?.addEventListener("click", () => {
    const rows = rowsOf(document);
    enter(rows.find((row) => !row.querySelector<HTMLInputElement>("input:checked")?.value) ?? rows[0]);
  });
  document.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    const button = event.submitter;
    if (!form.hasAttribute("data-refresh") || !(button instanceof HTMLButtonElement)) return;
    event.preventDefault();
    void refresh(form, button, ready);
  });
}
