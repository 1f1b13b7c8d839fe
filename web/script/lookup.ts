// Makes the forms that look a case up answer without a page load: they ask for the
// same addresses and put what comes back in place. What was told, what follows
// from it and what is still possible, the service says; this only shows it.

const form = document.getElementById("tap") as HTMLFormElement | null;
const statusLine = document.getElementById("status");
let asked: AbortController | undefined;
let offerCopies = (): void => undefined;

const all = <E extends Element>(within: ParentNode, selector: string): E[] => [...within.querySelectorAll<E>(selector)];
const inputOf = (id: string): HTMLInputElement | null => document.getElementById(id) as HTMLInputElement | null;

function addressOf(form: HTMLFormElement): URL {
  const query = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string") query.append(name, value);
  }
  const address = new URL(form.action);
  address.search = query.toString();
  return address;
}

// together walks the elements of the page and of what came, which are in the same
// order.
function together<E extends Element>(page: ParentNode, selector: string, show: (mine: E, fresh: E) => void): void {
  const fresh = all<E>(page, selector);
  all<E>(document, selector).forEach((mine, i) => {
    const other = fresh[i];
    if (other) show(mine, other);
  });
}

// layAnew lays the steps and the stickers anew where one slot is open now and two were, or
// the other way round.
function layAnew(page: Document): void {
  if (all(page, "#tap .sticker").length === all(document, "#tap .sticker").length) return;
  for (const id of ["steps", "stickers"]) {
    const fresh = page.getElementById(id);
    if (fresh) document.getElementById(id)?.replaceChildren(...fresh.cloneNode(true).childNodes);
  }
}

// showFigure keeps every element of the figure, so that the focus stays, a screen
// reader does not begin anew, and a finger that is down comes up on the same.
function showFigure(page: Document, steps: boolean): void {
  const same = (mine: Element, fresh: Element): void => {
    if (mine.className !== fresh.className) mine.className = fresh.className;
  };
  const focused = document.activeElement;
  together(page, "#tap .figure, #tap .sticker, #tap .place, #tap .steps, #tap .steps label", same);
  together(page, "#tools a", (mine, fresh) => {
    for (const name of ["href", "role", "aria-disabled"]) {
      const value = fresh.getAttribute(name);
      if (value === null) mine.removeAttribute(name);
      else mine.setAttribute(name, value);
    }
  });
  together<HTMLInputElement>(page, steps ? "#tap input[type=radio]" : "#tap input[type=radio]:not([name=mark])", (mine, fresh) => {
    mine.value = fresh.value;
    mine.defaultChecked = fresh.defaultChecked;
    mine.checked = fresh.defaultChecked;
    mine.disabled = fresh.disabled;
    const label = fresh.getAttribute("aria-label");
    if (label) mine.setAttribute("aria-label", label);
  });
  stay(focused);
}

// signOf finds what has the focus again among what takes its place.
function signOf(element: Element): string {
  const option = element.closest<HTMLElement>("[data-pattern]")?.dataset.pattern;
  const name = option ? element.className : (element.getAttribute("aria-label") ?? element.textContent ?? "").trim();
  return [element.tagName, option, element.closest("nav")?.getAttribute("aria-label"), name].join("|");
}

// glide lets the lines that stay, and are in sight, be seen to move from where they
// were. All is measured before anything moves: each motion makes places unknown.
function glide(before: Map<string, number>): void {
  const moves = all<HTMLElement>(document, "#answer [data-pattern]").flatMap((option): [HTMLElement, number][] => {
    const from = before.get(option.dataset.pattern ?? "");
    const to = option.getBoundingClientRect().top;
    return from === undefined || from === to || to > innerHeight ? [] : [[option, from - to]];
  });
  for (const [option, moved] of moves) {
    option.animate([{ transform: `translateY(${moved}px)` }, { transform: "none" }], { duration: 140, easing: "ease-out" });
  }
}

// take puts what came in place. Nothing above the answer's lines changes its height,
// so nothing jumps; lines that stay are seen to move.
function take(page: Document, steps: boolean): void {
  const focused = document.activeElement;
  const sign = focused?.closest("[data-fresh]") ? signOf(focused) : "";
  const opened = all<HTMLDetailsElement>(document, "#answer details[open]").map((d) => d.id);
  const before = new Map<string, number>();
  for (const option of all<HTMLElement>(document, "#answer [data-pattern]")) {
    before.set(option.dataset.pattern ?? "", option.getBoundingClientRect().top);
  }

  // Before anything is taken from what came.
  layAnew(page);
  for (const part of all(document, "[data-fresh]")) {
    // What is within another part comes with it.
    if (part.parentElement?.closest("[data-fresh]")) continue;
    const fresh = page.getElementById(part.id);
    if (fresh) part.replaceChildren(...fresh.childNodes);
  }
  showFigure(page, steps);
  for (const field of all(document, "#paste textarea, #paste select, #code")) {
    const problem = document.getElementById(`${field.id}-problem`);
    if (problem?.childElementCount) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
  const words = page.getElementById("status")?.textContent?.trim();
  if (statusLine && words) statusLine.textContent = words;

  for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
  if (sign) {
    const again = all<HTMLElement>(document, "[data-fresh] a, [data-fresh] summary, [data-fresh] button").find((e) => signOf(e) === sign);
    again?.focus({ preventScroll: true });
  }
  if (!matchMedia("(prefers-reduced-motion: reduce)").matches) glide(before);
  offerCopies();
}

// ask answers whether there is a forecast now. steps says that the step, too, is to
// be the one that comes; submitted that this is what a person looks up, not a tap
// on the way.
async function ask(address: URL, steps: boolean, submitted = false): Promise<boolean> {
  asked?.abort();
  const request = new AbortController();
  asked = request;
  const part = new URL(address);
  part.hash = "";
  part.searchParams.set("part", "answer");
  try {
    const response = await fetch(part, { signal: request.signal, headers: submitted ? { "Slotcast-Submitted": "yes" } : {} });
    // With two slots open the answer is on a page of its own.
    if (response.redirected) {
      location.assign(response.url);
      return false;
    }
    const type = response.headers.get("Content-Type") ?? "";
    const text = await response.text();
    if (request.signal.aborted) return false;
    const page = new DOMParser().parseFromString(text, "text/html");
    if (!type.startsWith("text/html") || !page.getElementById("tap")) throw new Error("no forecast came back");
    take(page, steps);
    address.hash = "";
    history.replaceState(history.state, "", address);
    return response.ok;
  } catch {
    if (!request.signal.aborted && statusLine) {
      statusLine.textContent = "No answer from the service. What you entered is still here; try again.";
    }
    return false;
  }
}

// The figure.

const step = (): string => document.querySelector<HTMLInputElement>('#tap [name="mark"]:checked')?.value ?? "top";

// steps are what can be marked, one step after the other: each pair's pieces, then the top.
const steps = (): string[] => all<HTMLInputElement>(document, '#tap [name="mark"]').map((mark) => mark.value);

// chooseStep goes to a step; the focus, if it is on a sticker, stays as near as can be.
function chooseStep(value: string): void {
  const mark = inputOf(`mark-${value}`);
  if (mark) mark.checked = true;
  stay(document.activeElement);
}

// stay keeps the focus as near as can be to where it was, if that was a sticker.
function stay(focused: Element | null): void {
  rove();
  if (!focused?.closest("#tap .sticker") || usable().some((input) => input === focused)) return;
  nearest(focused, (rows, columns) => Math.hypot(rows, columns))?.focus({ preventScroll: true });
}

// usable are the inputs that take taps in the step.
function usable(): HTMLInputElement[] {
  return all<HTMLInputElement>(document, `#tap .mark-${step()}:enabled`).filter(
    (input) => getComputedStyle(input).visibility === "visible",
  );
}

// middleOf is where an input's tile has its middle, down and to the right.
function middleOf(input: Element): [number, number] {
  const box = input.getBoundingClientRect();
  return [box.top + box.height / 2, box.left + box.width / 2];
}

// nearest is the input that is the least away, counted as told.
function nearest(from: Element, away: (down: number, right: number) => number): HTMLInputElement | undefined {
  const [top, left] = middleOf(from);
  let best: HTMLInputElement | undefined;
  let least = Infinity;
  for (const input of usable()) {
    const [y, x] = middleOf(input);
    const distance = away(y - top, x - left);
    if (distance < least) [best, least] = [input, distance];
  }
  return best;
}

// rove lets the tabulator stop at the figure once.
function rove(): void {
  const inputs = usable();
  const now = inputs.find((i) => i === document.activeElement) ?? inputs.find((i) => i.checked) ?? inputs[0];
  for (const input of inputs) input.tabIndex = input === now ? 0 : -1;
}

function tap(input: HTMLInputElement): void {
  if (input.disabled) return;
  input.checked = !(input.checked && input.classList.contains("mark-top"));
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

function changed(input: HTMLInputElement): void {
  if (input.name === "mark") {
    rove();
    return;
  }
  // Told is the step's piece, so the next that is not told is on.
  const pieces = steps().slice(0, -1);
  if (pieces.includes(input.name)) chooseStep(pieces.find((name) => !document.querySelector(`#tap [name="${name}"]:checked`)) ?? "top");
  if (form) void ask(addressOf(form), false);
}

const arrows: Record<string, [number, number]> = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
// By where the keys are, whatever is printed on them.
const placeKeys: Record<string, string> = {
  KeyQ: "UBL",
  KeyW: "UB",
  KeyE: "UBR",
  KeyA: "UL",
  KeyD: "UR",
  KeyZ: "UFL",
  KeyX: "UF",
  KeyC: "UFR",
  KeyS: "slotcorner",
  KeyF: "slotedge",
  KeyR: "secondcorner",
  KeyV: "secondedge",
};

// turnAt tells the piece at a place as turned once more than it was shown.
function turnAt(place: string): void {
  const stickers = all(document, `#tap .at-${place}`);
  const kind = stickers[0]?.classList.contains("of-corner") ? "corner" : "edge";
  const inputs = (mark: string): HTMLInputElement[] => stickers.flatMap((s) => all<HTMLInputElement>(s, `.mark-${mark}`));
  // In the last step a pair's piece is turned where one is, and the top's piece elsewhere.
  let at = step();
  if (at === "top") at = [kind, `${kind}2`].find((mark) => inputs(mark).some((i) => i.checked)) ?? "top";
  else if (!at.startsWith(kind)) {
    if (kind === "edge") return;
    at = at.replace("edge", "corner");
  }
  const choices = inputs(at);
  let now = choices.findIndex((i) => i.checked);
  if (now < 0 && choices[0]?.classList.contains("mark-top")) now = stickers.findIndex((s) => s.classList.contains("assumed"));
  for (let n = 1; n <= choices.length; n++) {
    const next = choices[(now + n) % choices.length];
    if (next && !next.disabled) {
      tap(next);
      return;
    }
  }
}

function key(event: KeyboardEvent): void {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const target = event.target as Element;
  const sticker = target.closest(".sticker") ? (target as HTMLInputElement) : undefined;
  const arrow = arrows[event.key];
  const place = placeKeys[event.code];
  const tool = document.querySelector<HTMLAnchorElement>(`#tools [data-key="${CSS.escape(event.key.toLowerCase())}"]`);
  if (arrow && sticker) {
    const [down, right] = arrow;
    nearest(sticker, (rows, columns) => {
      const ahead = rows * down + columns * right;
      // Tiles lie askew: what is straight ahead is taken before what is nearer but aside.
      return ahead > 4 ? ahead + 1.5 * Math.abs(rows * right + columns * down) : Infinity;
    })?.focus();
  } else if ((event.key === " " || event.key === "Enter") && sticker) tap(sticker);
  else if (/^[1-5]$/.test(event.key)) {
    chooseStep(steps()[Number(event.key) - 1] ?? "top");
    const inputs = usable();
    (inputs.find((input) => input.checked) ?? inputs.find((input) => input.tabIndex === 0))?.focus({ preventScroll: true });
  } else if (event.key === "?") document.getElementById("keys")?.toggleAttribute("open");
  else if (tool) tool.click();
  else if (place) turnAt(place);
  else return;
  event.preventDefault();
}

export function lookUp(ready: () => void): void {
  offerCopies = ready;
  for (const plain of all<HTMLFormElement>(document, "#tap, #paste, #by-code")) {
    plain.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (await ask(addressOf(plain), true, true)) {
        // The keyboard goes on where the answer begins.
        statusLine?.focus({ preventScroll: true });
        statusLine?.scrollIntoView({ block: "start" });
        return;
      }
      plain.querySelector<HTMLElement>("[aria-invalid]")?.focus();
    });
  }
  if (!form) return;
  rove();
  form.addEventListener("change", (event) => changed(event.target as HTMLInputElement));
  form.addEventListener("keydown", key);
  form.addEventListener("focusin", rove);
  // A second tap takes the first back. The browser checks a radio button before it
  // tells of the click, so what was there is seen when the finger comes down.
  let pressed: EventTarget | null = null;
  form.addEventListener("pointerdown", (event) => {
    const input = event.target as HTMLInputElement;
    pressed = input.matches(".mark-top:checked") ? input : null;
  });
  form.addEventListener("click", (event) => {
    if (pressed && event.target === pressed) tap(event.target as HTMLInputElement);
    pressed = null;
  });
  document.addEventListener("click", (event) => {
    const link = (event.target as Element).closest<HTMLAnchorElement>("a[data-figure]");
    if (!link?.href || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    void ask(new URL(link.href), true);
  });
  document.querySelector(".jump")?.addEventListener("click", () => {
    document.getElementById("by-paste")?.setAttribute("open", "");
    document.getElementById("scramble")?.focus();
  });
}
