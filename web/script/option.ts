// Copies turns. Its buttons show only where there is a clipboard.

export function copyTurns(): void {
  if (!navigator.clipboard) return;
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-copy-text]")) {
    const words = button.textContent;
    button.hidden = false;
    button.addEventListener("click", async () => {
      try {
        await navigator.clipboard.writeText(button.dataset.copyText ?? "");
        button.textContent = "Copied";
      } catch {
        button.textContent = "Not copied";
      }
      setTimeout(() => (button.textContent = words), 2000);
    });
  }
}
