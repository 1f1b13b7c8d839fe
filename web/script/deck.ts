// Rates one pattern after the other: the next card comes by itself once each row of
// this one has its answer. The cards are forms that save as all others do.

import { onNewer } from "./queue";

// dealCards lets the deck on the page, if there is one, go on without loading it anew.
export function dealCards(): void {
  const status = document.getElementById("deck-status");
  const cards = [...document.querySelectorAll<HTMLElement>(".deck [data-here]")];
  if (!status || !cards.length) return;
  let shown = cards.find((card) => !card.hidden);
  // The rows of the shown card that are still to be answered before the next comes.
  let open: HTMLElement[] = [];
  let begun = false;

  const rowsOf = (card: HTMLElement | undefined): HTMLElement[] => [...(card?.querySelectorAll<HTMLElement>("[data-step]") ?? [])];

  // begin asks for the rows that have neither rating nor time, or where both have, for
  // each again.
  const begin = (): void => {
    const rows = rowsOf(shown);
    const empty = rows.filter((row) => !answer(row));
    open = empty.length ? empty : rows;
    begun = false;
  };

  const show = (card: HTMLElement): void => {
    for (const other of cards) other.hidden = other !== card;
    shown = card;
    begin();
  };

  // go shows a card; rated is what was said of the one before it.
  const go = (card: HTMLElement | undefined, rated = ""): void => {
    if (!card || card === shown) return;
    show(card);
    history.pushState(null, "", card.dataset.here);
    tell(rated);
    focusRow(open[0] ?? rowsOf(card)[0]);
    if (!open.length) card.querySelector<HTMLElement>("h2")?.focus({ preventScroll: true });
    // Only where the page is longer than the screen: its picture comes first.
    if (card.getBoundingClientRect().top < 0) card.scrollIntoView({ block: "start" });
  };

  const tell = (rated: string): void => {
    const before = document.createElement("small");
    before.textContent = rated;
    status.replaceChildren(`${shown?.dataset.progress} `, before);
  };

  const beside = (step: number): HTMLElement | undefined => (shown ? cards[cards.indexOf(shown) + step] : undefined);

  // answered goes on once nothing is open any more.
  const answered = (row: HTMLElement): void => {
    begun = true;
    if (!row.querySelector<HTMLInputElement>("input:checked")?.value) {
      if (!open.includes(row)) open.push(row);
      return;
    }
    const measured = row.querySelector(".measured");
    if (measured) measured.textContent = "";
    open = open.filter((other) => other !== row);
    if (!open.length) go(beside(1), saidOf(shown));
  };

  const rateByKey = (event: KeyboardEvent): void => {
    const input = event.target;
    if (!(input instanceof HTMLInputElement) || input.type !== "radio" || event.ctrlKey || event.altKey || event.metaKey) return;
    const row = input.closest<HTMLElement>("[data-step]");
    if (!row) return;
    const rows = rowsOf(shown);
    switch (event.key) {
      case "ArrowDown":
        focusRow(rows[rows.indexOf(row) + 1]);
        break;
      case "ArrowUp":
        focusRow(rows[rows.indexOf(row) - 1]);
        break;
      case "ArrowRight":
        go(beside(1));
        break;
      case "ArrowLeft":
        go(beside(-1));
        break;
      default: {
        if (!/^[0-5]$/.test(event.key)) return;
        const value = event.key === "0" ? "" : event.key;
        const before = shown;
        const choice = row.querySelector<HTMLInputElement>(`input[type="radio"][value="${value}"]`);
        // As a tap does, which saves what is new.
        choice?.click();
        if (shown === before && value) focusRow(open[0]);
      }
    }
    event.preventDefault();
    event.stopPropagation();
  };

  for (const card of cards) {
    card.addEventListener("keydown", rateByKey);
    card.addEventListener("click", (event) => {
      const target = event.target as Element;
      const row = target.closest<HTMLElement>("[data-step]");
      if (target instanceof HTMLInputElement && row) answered(row);
      const link = target.closest<HTMLAnchorElement>(".deck-ways a");
      const there =
        link &&
        !event.ctrlKey &&
        !event.metaKey &&
        !event.shiftKey &&
        cards.find((other) => other.dataset.here === link.getAttribute("href"));
      if (!there) return;
      event.preventDefault();
      go(there);
    });
  }
  document.getElementById("deck-by-keys")?.addEventListener("click", () => focusRow(open[0]));
  // atAddress shows the card that the address names: where the page was kept, it may
  // show another.
  const atAddress = (): void => {
    const at = new URLSearchParams(location.search).get("at");
    const named =
      cards.find((card) => new URLSearchParams(card.dataset.here?.split("?")[1]).get("at") === at) ?? (at ? undefined : cards[0]);
    if (!named || named === shown) return;
    show(named);
    tell("");
  };
  addEventListener("popstate", atAddress);
  atAddress();
  begin();
  // What waits to be sent is an answer too; who is quick has begun before it is known.
  onNewer(() => {
    if (!begun) begin();
  });
}

// answer is a row's rating or measured time, "" for none.
function answer(row: HTMLElement): string {
  const measured = row.querySelector<HTMLInputElement>('input[type="hidden"][name$="-seconds"]:not([name^="was-"])');
  return row.querySelector<HTMLInputElement>("input:checked")?.value || measured?.value || "";
}

// saidOf is a card's pattern with its ratings.
function saidOf(card: HTMLElement | undefined): string {
  const name = card?.querySelector("h2 span:last-child")?.textContent ?? "";
  const ratings = [...(card?.querySelectorAll<HTMLInputElement>("[data-step] input:checked") ?? [])].map((input) => input.value || "–");
  return `${name}: ${ratings.join(", ")}`;
}

function focusRow(row: HTMLElement | undefined): void {
  const input =
    row?.querySelector<HTMLInputElement>("label input:checked") ?? row?.querySelector<HTMLInputElement>('label input[type="radio"]');
  input?.focus({ preventScroll: true });
}
