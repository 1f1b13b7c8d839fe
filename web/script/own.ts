// Saves what people say of patterns and insertions as they say it, and rates
// with keys. Without this script the same forms have buttons.

import { type Change, isAway, isOwn, onChanges, onNewer, save, waits } from "./queue";

const waiting = "waiting to be sent";

const saving = "saving …";

// Forms of which something was changed while the page is open, with how many of the
// changes are not written down yet.
const touched = new Map<HTMLFormElement, number>();

// What was chosen in forms while the page is open: what it was before is over.
const chosen = new Map<HTMLFormElement, Set<string>>();

// stepOf is what a field is about: a rating and a measured time are of one step.
function stepOf(name: string): string {
  return name.replace(/-seconds$/, "");
}

function say(form: HTMLFormElement, words: string, bad = false): void {
  const said = form.querySelector(".said");
  if (!said) return;
  // Words that are put there again would be spoken again.
  if (said.textContent !== words) said.textContent = words;
  said.classList.toggle("bad", bad);
}

// aboutFields tells what a form's fields change: their names, and the value where it
// says which insertion it is.
function aboutFields(fields: [string, string][]): string {
  return fields
    .map(([name, value]) =>
      /^(insertion|step|case|know|forget|hide|show|learnt|average|usual|pll|result)$/.test(name) ? `${name}=${value}` : name,
    )
    .join(" ");
}

// formOf is the form that saves a change, if it is on the page.
function formOf(change: Change): HTMLFormElement | undefined {
  return document.querySelector<HTMLFormElement>(`form[data-saves][action="${CSS.escape(change.address)}"]`) ?? undefined;
}

// buttonOf is the button that sends a change, if it is on the page.
function buttonOf(change: Change): HTMLButtonElement | undefined {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-refresh]")) {
    for (const button of form.elements) {
      if (!(button instanceof HTMLButtonElement) || (button.getAttribute("formaction") ?? form.getAttribute("action")) !== change.address)
        continue;
      if (aboutFields(fieldsOf(form, button)) === aboutFields(change.fields)) return button;
    }
  }
  return undefined;
}

function fieldsOf(form: HTMLFormElement, button: HTMLButtonElement): [string, string][] {
  const fields: [string, string][] = [];
  for (const [name, value] of new FormData(form, button)) {
    if (typeof value === "string" && name !== "back") fields.push([name, value]);
  }
  return fields;
}

// isShown says whether a change is where its form is to be seen, so that what became
// of it is said there.
export function isShown(change: Change): boolean {
  return formOf(change)?.hidden === false;
}

// restore shows what was changed after the page was made, but for what was changed on
// it by then: what waits, and where the page was kept on the device, what was sent
// since.
function restore(changes: Change[]): void {
  for (const change of changes) {
    const saves = formOf(change);
    if (saves && !touched.has(saves)) touched.set(saves, 0);
    for (const [name, value] of change.fields) {
      if (saves && chosen.get(saves)?.has(stepOf(name))) continue;
      const field = (saves ?? buttonOf(change)?.form)?.elements.namedItem(name);
      if (
        field instanceof RadioNodeList ||
        field instanceof HTMLInputElement ||
        field instanceof HTMLSelectElement ||
        field instanceof HTMLTextAreaElement
      )
        field.value = value;
      if (saves) tieFields(saves, name, value);
    }
  }
  tellRated();
}

// tellForms says at each form how its changes fare.
function tellForms(changes: Change[]): void {
  const open = changes.filter((change) => !change.done && isOwn(change));
  const byForm = new Map<HTMLFormElement | undefined, Change[]>();
  for (const change of open) {
    const form = formOf(change);
    byForm.set(form, [...(byForm.get(form) ?? []), change]);
  }
  for (const [form, unwritten] of touched) {
    const mine = byForm.get(form) ?? [];
    const trouble = mine.find((change) => change.trouble)?.trouble;
    if (trouble)
      say(form, trouble.conflict ? "not saved: changed elsewhere; choose at the top of the page" : `not saved: ${trouble.detail}`, true);
    else if (!mine.length && !unwritten) say(form, "saved");
    else say(form, unwritten || isSending() ? saving : waiting);
  }
  for (const note of document.querySelectorAll(".said.later")) note.remove();
  for (const change of open) {
    const button = waits(change) && !isSending() ? buttonOf(change) : undefined;
    if (!button) continue;
    const note = document.createElement("span");
    note.className = "said later";
    note.textContent = `“${button.textContent?.trim()}” is ${waiting}`;
    button.after(note);
  }
}

function isSending(): boolean {
  return navigator.onLine && !isAway();
}

// changed saves a field.
function changed(form: HTMLFormElement, input: HTMLInputElement): void {
  tieFields(form, input.name, input.value);
  const fields: [string, string][] = [[input.name, input.value]];
  const count = (n: number): void => void touched.set(form, (touched.get(form) ?? 0) + n);
  count(1);
  chosen.set(form, (chosen.get(form) ?? new Set()).add(stepOf(input.name)));
  // At once, as what it says of the change before is no longer true.
  say(form, saving);
  void save(form.action, fields, aboutFields(fields), () => count(-1));
  tellRated();
}

// tieFields empties what a field takes the place of, as the profile does: of a
// rating and a measured time there is one.
function tieFields(form: HTMLFormElement, name: string, value: string): void {
  if (name === "name") {
    const heading = form.querySelector(".own-name");
    if (heading) heading.textContent = value.trim();
  } else if (name.endsWith("-seconds")) {
    const step = name.slice(0, -"-seconds".length);
    const unrated = form.querySelector<HTMLInputElement>(`input[type="radio"][name="${step}"][value=""]`);
    if (unrated) unrated.checked = true;
  } else {
    const measured = form.elements.namedItem(`${name}-seconds`);
    if (measured instanceof HTMLInputElement) measured.value = "";
  }
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

// toast is where what was done is said, and how to undo it: always in sight, wherever on a
// long page the button is. It stays until something else is done.
const toast = document.createElement("div");
toast.id = "toast";
toast.setAttribute("role", "status");

// opposites are the marks that take each other back.
const opposites: Record<string, string> = { know: "forget", forget: "know", hide: "show", show: "hide" };

// before is what a form's fields were when the page was made, to undo with.
function before(form: HTMLFormElement, button: HTMLButtonElement): [string, string][] | undefined {
  const opposite = opposites[button.name];
  // What is hidden is no longer known: to know it again is to have it back.
  const known = document.querySelector(`button[name="forget"][value="${CSS.escape(button.value)}"]`);
  if (button.name === "hide" && known) return [["know", button.value]];
  if (opposite) return [[opposite, button.value]];
  const fields: [string, string][] = [];
  for (const field of form.elements) {
    if (field instanceof HTMLSelectElement) fields.push([field.name, [...field.options].find((o) => o.defaultSelected)?.value ?? ""]);
    else if (field instanceof HTMLInputElement && field.name !== "back") fields.push([field.name, field.defaultValue]);
  }
  if (button.dataset.before !== undefined) fields.push([button.name, button.dataset.before]);
  // Other forms say more than their fields hold, and have no way back of their own.
  return button.dataset.before !== undefined || form.hasAttribute("data-undo") ? fields : undefined;
}

// partOf is what of a page a form's change shows in.
function partOf(form: HTMLFormElement): string {
  return form.dataset.part ?? "answer";
}

// showAnew puts what a change shows in as it is now in place; what is open stays open.
async function showAnew(part: string): Promise<void> {
  const response = await fetch(location.href);
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  if (!response.ok || !page.getElementById(part)) throw new Error(response.statusText);
  const signs = (d: Element): string[] => [d.id, ...[...d.querySelectorAll("button")].map((b) => b.value)].filter(Boolean);
  const open = new Set([...document.querySelectorAll(`#${part} details[open]`)].flatMap(signs));
  for (const id of new Set([part, "best"])) {
    const fresh = page.getElementById(id);
    if (fresh) document.getElementById(id)?.replaceChildren(...fresh.childNodes);
  }
  for (const details of document.querySelectorAll(`#${part} details`)) {
    if (signs(details).some((sign) => open.has(sign))) details.setAttribute("open", "");
  }
  const status = document.getElementById("status");
  const words = page.getElementById("status")?.textContent?.trim().replace(/\s+/g, " ");
  if (status && words) status.textContent = words;
}

// refresh sends what a form says, and shows the page anew where it stands.
async function refresh(form: HTMLFormElement, button: HTMLButtonElement, ready: () => void): Promise<void> {
  const name = button.textContent?.trim() ?? "";
  const where = form.action.endsWith("/steps/marks") ? "Your steps" : "Insertions";
  const done = button.name === "hide" ? `Hidden; it is still under ${where}.` : "Saved.";
  const address = button.hasAttribute("formaction") ? button.formAction : form.action;
  const back = before(form, button);
  const part = partOf(form);
  const focused = { value: button.value, label: button.ariaLabel };
  const change = async (fields: [string, string][], words: string, undo?: [string, string][]): Promise<void> => {
    const saved = await save(address, fields, aboutFields(fields));
    if (waits(saved)) return tell(`“${name}” is ${waiting}.`);
    if (saved.trouble) return tell(`Not saved: ${saved.trouble.detail}`);
    try {
      await showAnew(part);
      const buttons = [...document.querySelectorAll<HTMLButtonElement>("form[data-refresh] button, #answer button[form]")];
      (
        buttons.find((other) => other.value && other.value === focused.value) ??
        buttons.find((other) => other.ariaLabel === focused.label) ??
        buttons[0]
      )?.focus({ preventScroll: true });
      showParts();
      ready();
      tell(words, undo && (() => void change(undo, "Undone.")));
    } catch {
      tell(`${words} The page as it is now could not be loaded.`);
    }
  };
  await change(fieldsOf(form, button), done, back);
}

// tell says in the toast what was done, with a button that undoes it.
function tell(words: string, undo?: () => void): void {
  const said = document.createElement("span");
  said.textContent = words;
  toast.replaceChildren(said);
  if (!undo) return;
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Undo";
  button.addEventListener("click", undo);
  toast.append(button);
}

// showParts shows what is for pages with this script, and hides what is for those without.
function showParts(): void {
  for (const part of document.querySelectorAll<HTMLElement>("[data-with-script]")) part.hidden = false;
  for (const part of document.querySelectorAll<HTMLElement>("[data-without-script]")) part.hidden = true;
}

export function keepOwn(ready: () => void): void {
  showParts();
  document.body.append(toast);
  // At the document, as forms come and go.
  document.addEventListener("change", (event) => {
    const input = event.target as HTMLInputElement;
    const form = input.closest<HTMLFormElement>("form[data-saves]");
    if (form) changed(form, input);
  });
  onNewer(restore);
  onChanges(tellForms);
  document.addEventListener("keydown", rateByKey);
  document.addEventListener("click", (event) => {
    if ((event.target as Element).id !== "rate-by-keys") return;
    const rows = rowsOf(document);
    enter(rows.find((row) => !row.querySelector<HTMLInputElement>("input:checked")?.value) ?? rows[0]);
  });
  document.addEventListener("submit", (event) => {
    const form = event.target as HTMLFormElement;
    const button = event.submitter;
    if (form.hasAttribute("data-saves")) event.preventDefault();
    if (!form.hasAttribute("data-refresh") || !(button instanceof HTMLButtonElement)) return;
    event.preventDefault();
    void refresh(form, button, ready);
  });
}
