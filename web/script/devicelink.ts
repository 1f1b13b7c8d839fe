// Shows a device link over the page, with the time that it still works.

// What a screen reader is told, once as the time gets there: not each second.
const told: [number, string][] = [
  [30, "At most 30 seconds left."],
  [60, "At most one minute left."],
  [120, "At most two minutes left."],
  [300, "At most five minutes left."],
  [Infinity, "At most ten minutes left."],
];

export function countDown(): void {
  const sheet = document.querySelector<HTMLDialogElement>("dialog[data-seconds]");
  if (!sheet) return;
  const part = (selector: string): HTMLElement | null => sheet.querySelector<HTMLElement>(selector);
  const left = part(".time-left");
  const clock = part(".clock");
  const words = part(".time-left [role=status]");
  const link = part(".while-it-works");
  const renew = part(".renew");
  if (!left || !clock || !words || !link || !renew) return;
  // A device that slept counts on.
  const end = Date.now() + Number(sheet.dataset.seconds) * 1000;
  const show = (): void => {
    const seconds = Math.max(0, Math.ceil((end - Date.now()) / 1000));
    clock.textContent = seconds ? `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} left` : "";
    const now = seconds
      ? (told.find(([most]) => seconds <= most)?.[1] ?? "")
      : "This link has run out: it opens nothing any more. Make a new one.";
    // Words that are put there again would be spoken again.
    if (words.textContent !== now) words.textContent = now;
    if (seconds) return;
    clearInterval(ticking);
    words.classList.remove("aside");
    const focused = link.contains(document.activeElement);
    link.remove();
    renew.hidden = false;
    if (focused) renew.querySelector("button")?.focus();
  };
  renew.hidden = true;
  left.hidden = false;
  const ticking = setInterval(show, 1000);
  // It stands on the page without a script. To close it so is no closing that is told of.
  sheet.open = false;
  sheet.showModal();
  show();
  sheet.addEventListener("close", () => {
    clearInterval(ticking);
    document.getElementById("devices")?.scrollIntoView();
  });
}
