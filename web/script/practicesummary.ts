// What a session came to: what got faster, and what to look at again.

export interface Result {
  card: HTMLElement;
  id: string;
  took: number;
  right: boolean;
}

// seconds is a time as it is read.
export function seconds(took: number): string {
  return `${(took / 1000).toFixed(2)} s`;
}

function medianOf(results: Result[]): number {
  const times = results
    .filter((r) => r.right)
    .map((r) => r.took)
    .sort((a, b) => a - b);
  return times.length ? ((times[(times.length - 1) >> 1] ?? 0) + (times[times.length >> 1] ?? 0)) / 2 : 0;
}

// before is the person's median of the item as the page was made, 0 for none.
function before(card: HTMLElement): number {
  return Number(card.dataset.median ?? 0);
}

// slower is how many times the median is to be looked at again.
const slower = 1.5;

// summarise writes it down, and is the items to look at again.
export function summarise(results: Result[]): HTMLElement[] {
  const byCard = new Map<HTMLElement, Result[]>();
  for (const r of results) byCard.set(r.card, [...(byCard.get(r.card) ?? []), r]);
  const right = results.filter((r) => r.right).length;
  const median = medianOf(results);
  const all = document.getElementById("practice-result");
  if (all) all.textContent = `${right} of ${results.length} right${median ? `, in ${seconds(median)} at the median` : ""}.`;

  const cards = [...byCard.keys()];
  const took = (card: HTMLElement): number => medianOf(byCard.get(card) ?? []);
  const isWrong = (card: HTMLElement): boolean => byCard.get(card)?.some((r) => !r.right) ?? false;
  list(
    "practice-faster",
    cards.filter((card) => took(card) > 0 && took(card) < before(card)),
    (card) => `${card.dataset.name}: ${seconds(took(card))}, faster than your ${seconds(before(card))}`,
  );
  const again = cards.filter((card) => isWrong(card) || (before(card) > 0 && took(card) > slower * before(card)));
  list("practice-again", again, (card) =>
    isWrong(card)
      ? `${card.dataset.name}: wrong`
      : `${card.dataset.name}: ${seconds(took(card))}, slower than your ${seconds(before(card))}`,
  );
  return again;
}

function list(id: string, cards: HTMLElement[], words: (card: HTMLElement) => string): void {
  document.getElementById(id)?.replaceChildren(
    ...cards.map((card) => {
      const line = document.createElement("li");
      line.textContent = words(card);
      return line;
    }),
  );
}
